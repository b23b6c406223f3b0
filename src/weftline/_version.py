"""The version, alone in its module so that asking for it costs nothing."""

__version__ = "0.1.0"
