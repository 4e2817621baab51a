"""Reading the register: every function is scoped by what the person may see, and writes nothing."""
