"""View models and rendering of pages."""
