"""Pictures: photos made ready for the web, and patterns drawn as SVG."""
