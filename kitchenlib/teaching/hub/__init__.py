"""A whole school on JupyterHub: its configuration, each student's server, the collecting of answers."""
