"""The services of the shop: each function checks its rule, changes rows in one transaction, and knows no request."""
