"""What the shop does: each function checks its rule, changes rows in one transaction, and knows no request."""
