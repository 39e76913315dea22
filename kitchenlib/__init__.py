"""A small library for a culinary school: gels, spheres, emulsions and freezing, with units, sources and honest spreads."""
__version__ = "0.1.0"
