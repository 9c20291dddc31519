"""Sticks trimmed by planes: points, planes, frames, outlines. No units and no I/O."""
