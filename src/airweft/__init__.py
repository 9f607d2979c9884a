"""airweft: plan, draw and make woven balloon fabric."""

__version__ = "0.1.0"
