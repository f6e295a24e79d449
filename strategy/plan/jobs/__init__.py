"""A course planned over the processes of this machine: jobs, pool, what is kept on disk."""
