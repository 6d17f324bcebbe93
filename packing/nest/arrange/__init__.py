"""From the places that a search found to layers as they lie in the box: aligned, numbered, turned and stacked."""
