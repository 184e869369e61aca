"""A panel: sliders, picture and sentence."""
