"""Pages on this machine only: plain forms first, server-drawn, no request to anywhere else."""
