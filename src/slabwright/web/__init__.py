"""The desk: the whole job in a browser, over a typed JSON API on loopback."""
