"""What a template shows, computed before it: order lines, order status, the plan, the boxes offered."""
