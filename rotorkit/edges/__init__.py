"""The edges of the program: what comes in from a file, bounded, and what goes out to a person's eyes, made visible."""
