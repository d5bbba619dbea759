"""The desk: the job in a browser, served on loopback."""
