"""Contents of templates, computed before them: order lines, order status, the plan, the boxes offered."""
