"""Outside things made into findings: what is plumbed, what a log shows, what a mail says."""
