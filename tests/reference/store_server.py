#!/usr/bin/env python3
"""A server on 127.0.0.1 for tests: an S3-compatible store in memory (PyPI `moto`), or a folder on the web.

Reads one line of JSON on standard input and prints one line on standard output; it ends when standard input does.

Input:  {"kind": "s3", "bucket": NAME} or {"kind": "web", "folder": PATH}
Output: {"port": NUMBER}

The store answers one request after the other: its conditional writes look first and write then, which is one act only in a
store that is made for it.
"""

import functools
import http.server
import json
import os
import sys
import threading
import urllib.request

HOST = "127.0.0.1"


def s3(bucket):
    os.environ.setdefault("AWS_ACCESS_KEY_ID", "test")
    os.environ.setdefault("AWS_SECRET_ACCESS_KEY", "test")
    from moto.server import DomainDispatcherApplication, create_backend_app
    from werkzeug.serving import make_server

    server = make_server(HOST, 0, DomainDispatcherApplication(create_backend_app), threaded=False)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    make = urllib.request.Request(f"http://{HOST}:{server.server_port}/{bucket}", method="PUT")
    urllib.request.urlopen(make).close()
    return server.server_port


def web(folder):
    handler = functools.partial(http.server.SimpleHTTPRequestHandler, directory=folder)
    server = http.server.ThreadingHTTPServer((HOST, 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server.server_port


def main():
    question = json.loads(sys.stdin.readline())
    port = s3(question["bucket"]) if question["kind"] == "s3" else web(question["folder"])
    print(json.dumps({"port": port}), flush=True)
    sys.stdin.read()


main()
