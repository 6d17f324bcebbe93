"""Outlines traced in a drawing program; `packing.tracing.files` reads them from SVG and DXF."""

from packing.tracing.model import Tracing, traced_outline, tracing_content, tracing_of

__all__ = ["Tracing", "traced_outline", "tracing_content", "tracing_of"]
