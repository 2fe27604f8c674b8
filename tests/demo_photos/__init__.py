"""The demo's photos: pictures rendered from the demo's own patterns. Not part of the tests that run."""
