"""The web application: pages, JSON, sockets."""
