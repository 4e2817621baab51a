VERSION = "wheel-lines 1.0"
