"""Access: permissions by role, logging in, the first owner's one-time link."""
