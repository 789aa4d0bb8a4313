"""The sheets of the drive train."""
