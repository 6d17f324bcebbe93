"""Long trials on this machine alone: workers killed, many clients at once, memory, every field of every form."""
