"""A shop's folder laid over the manual that it extends: nothing is lost, each difference has a reason."""

from builder.layers.bases import Layer, layers_of
from builder.layers.difference import ADDED, LEFT_OUT, Difference
from builder.layers.reading import Read, read_layers

__all__ = ["ADDED", "LEFT_OUT", "Difference", "Layer", "Read", "layers_of", "read_layers"]
