"""The guides that the program prints."""
