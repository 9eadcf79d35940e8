"""The desk of support staff: what each message amounts to, the queue, and threads."""
