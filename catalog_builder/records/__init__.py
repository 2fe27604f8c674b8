"""The files of content/, read into typed values."""
