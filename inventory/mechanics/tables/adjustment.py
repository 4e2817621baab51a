VERSION = "adjustment 1.0"
