"""The lessons of the course, a file each with its `LESSON`."""
