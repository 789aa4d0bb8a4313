"""What an explorer in a notebook turns at: knobs, and one function from their values to pictures and lines."""
