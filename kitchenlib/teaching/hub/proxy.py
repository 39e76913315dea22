"""The hub's proxy: the pure-Python one, made fit for a class. JupyterHub starts it and gives it its arguments."""
from configurable_http_proxy import cli, configproxy
from tornado.httpclient import AsyncHTTPClient

# A lesson's page is one answer that takes seconds: by default the eleventh waits for its turn, and 20 s end it.
AsyncHTTPClient.configure(None, max_clients=1000, defaults={"request_timeout": 300, "connect_timeout": 60})


class Channel(configproxy.ProxyHandler):
    """Passes a kernel's channel on as it is: the protocol that the student's server chose of those offered, and bytes as bytes."""
    def select_subprotocol(self, offered):
        return self.ws_client.selected_subprotocol

    def on_message(self, message):
        if self.ws_client:
            self.ws_client.write_message(message, binary=isinstance(message, bytes))


if __name__ == "__main__":
    configproxy.ProxyHandler = Channel
    cli.main()
