"""A real JupyterHub with real accounts, for the test of the recipe: start it, sign in, run a lesson in a
kernel, move sliders, weigh processes.
"""

import contextlib
import json
import os
import pwd
import re
import signal
import socket
import subprocess
import sys
import time
import uuid
from pathlib import Path

import requests
import websocket

BIN = Path(sys.prefix) / "bin"
HUB, PROXY = BIN / "jupyterhub", BIN / "configurable-http-proxy"


def why_no_hub() -> str:
    """Why the tests of a real hub cannot run here; '' when they can."""
    if not (HUB.exists() and PROXY.exists()):
        return (
            "JupyterHub and its proxy are not installed in this environment: see 'What was tried' in"
            " data/workshop/many_readers.md"
        )
    if os.geteuid() != 0:
        return "only an administrator can make the five accounts that these tests need"
    if not all(
        folder.stat().st_mode & 0o001
        for folder in (*Path(sys.executable).parents, *Path(sys.executable).resolve().parents)
    ):
        return (
            "this Python lies in a folder that other accounts cannot open: make the environment with the"
            " system's own Python"
        )
    return ""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def private_folders(home: Path) -> dict[str, str]:
    """Settings of a Jupyter that leaves this person's own folders alone."""
    return {
        "JUPYTERLAB_WORKSPACES_DIR": str(home / "workspaces"),
        "JUPYTER_CONFIG_DIR": str(home / "config"),
        "JUPYTER_DATA_DIR": str(home / "data"),
        "JUPYTER_RUNTIME_DIR": str(home / "runtime"),
        "IPYTHONDIR": str(home / "ipython"),
        "JUPYTERLAB_SETTINGS_DIR": str(home / "settings"),
    }


class Hub:
    """The hub as the recipe starts it, on free ports of this machine."""

    def __init__(self, command: str, state: Path, scheme: str = "http"):
        self.command, self.state, self.ports = command, state, (free_port(), free_port(), free_port())
        self.address = f"{scheme}://127.0.0.1:{self.ports[0]}"

    def start(self) -> None:
        """Start it and wait for its sign-in page."""
        _, inner, proxy = self.ports
        ports = (
            f"--JupyterHub.bind_url={self.address} --JupyterHub.hub_bind_url=http://127.0.0.1:{inner} "
            f"--ConfigurableHTTPProxy.api_url=http://127.0.0.1:{proxy}"
        )
        with (self.state / "hub.log").open("a") as log:
            self.process = subprocess.Popen(
                ["bash", "-c", f"{self.command.strip().replace('&& ', '&& exec ')} {ports}"],
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        deadline = time.monotonic() + 90
        while True:
            with contextlib.suppress(requests.ConnectionError):
                if Visitor(self.address).web.get(f"{self.address}/hub/login", timeout=5).ok:
                    return
            if self.process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"the hub did not start: {self.log()[-3000:]}")
            time.sleep(0.3)

    def stop(self) -> None:
        """What Ctrl+C does."""
        if self.process.poll() is None:
            os.kill(self.process.pid, signal.SIGINT)
            try:
                self.process.wait(60)
            except subprocess.TimeoutExpired:
                os.killpg(self.process.pid, signal.SIGKILL)
                raise

    def log(self) -> str:
        return (self.state / "hub.log").read_text(encoding="utf-8", errors="replace")


class Visitor:
    """Somebody at a notebook server: the address it has for them, and what proves who they are."""

    def __init__(self, base: str, token: str = ""):
        self.base, self.web = base, requests.Session()
        self.web.verify, self.web.trust_env = (
            False,
            False,
        )  # a certificate of one's own; nothing from this person's settings
        if token:
            self.web.headers["Authorization"] = f"token {token}"

    def headers(self) -> dict[str, str]:
        """What a page of the server sends along with a change."""
        mine = [cookie for cookie in self.web.cookies if cookie.name == "_xsrf"]
        return (
            {
                "X-XSRFToken": max(mine, key=lambda cookie: len(cookie.path)).value,
                "Referer": f"{self.base}/lab",
            }
            if mine
            else {}
        )

    def wait(self, process: subprocess.Popen, log: Path) -> None:
        """Wait until the server answers."""
        deadline = time.monotonic() + 60
        while True:
            with contextlib.suppress(requests.ConnectionError):
                if self.web.get(f"{self.base}/api/status", timeout=5).ok:
                    return
            if process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"the server did not start: {log.read_text()[-3000:]}")
            time.sleep(0.2)

    def kernel(self, notebook: str) -> "Kernel":
        """A kernel for a notebook, started the way JupyterLab starts it."""
        answer = self.web.post(
            f"{self.base}/api/sessions",
            headers=self.headers(),
            timeout=90,
            json={
                "path": f"notebooks/{notebook}.ipynb",
                "name": notebook,
                "type": "notebook",
                "kernel": {"name": "python3"},
            },
        )
        answer.raise_for_status()
        return Kernel(self, notebook, answer.json()["kernel"]["id"])


class Reader(Visitor):
    """One reader at the hub: a browser's cookies, their own server, their kernels."""

    def __init__(self, hub: Hub, name: str, password: str):
        super().__init__(f"{hub.address}/user/{name}")
        self.hub, self.name, self.password = hub, name, password

    def sign_in(self, password: str | None = None) -> requests.Response:
        """Fill in the form of the sign-in page, without following where it leads."""
        page = self.web.get(f"{self.hub.address}/hub/login", timeout=30)
        hidden = re.search(r'name="_xsrf" value="([^"]+)"', page.text).group(1)
        return self.web.post(
            f"{self.hub.address}/hub/login",
            timeout=60,
            allow_redirects=False,
            data={
                "username": self.name,
                "password": self.password if password is None else password,
                "_xsrf": hidden,
            },
        )

    def start_server(self) -> float:
        """Start the reader's notebook server as the page does after signing in; returns the seconds it
        took.
        """
        began = time.monotonic()
        self.web.get(f"{self.hub.address}/hub/spawn", timeout=120)
        while True:
            answer = self.web.get(
                f"{self.base}/lab", timeout=60
            )  # by way of the hub, which hands out the server's own cookie
            if answer.ok and answer.url.startswith(f"{self.base}/lab"):
                return time.monotonic() - began
            if time.monotonic() - began > 150:
                raise RuntimeError(
                    f"no server for {self.name}: {answer.status_code}"
                    f" {answer.text[:300]}\n{self.hub.log()[-3000:]}"
                )
            time.sleep(0.3)

    def home(self) -> Path:
        """The reader's own folder."""
        return Path(pwd.getpwnam(self.name).pw_dir)

    def uid(self) -> int:
        return pwd.getpwnam(self.name).pw_uid

    def processes(self) -> dict[int, tuple[str, float]]:
        """The reader's processes: their command and their proportional set size in MB."""
        found = {}
        for folder in Path("/proc").glob("[0-9]*"):
            with contextlib.suppress(OSError):
                if folder.stat().st_uid == self.uid():
                    size = (
                        int(
                            re.search(
                                r"^Pss:\s+(\d+)", (folder / "smaps_rollup").read_text(), re.MULTILINE
                            ).group(1)
                        )
                        * 1.024
                        / 1000
                    )
                    found[int(folder.name)] = ((folder / "cmdline").read_text().replace("\0", " "), size)
        return found

    def port(self) -> int:
        """The port of the reader's own server, from the file it keeps about itself."""
        return json.loads(
            next((self.home() / ".local/share/jupyter/runtime").glob("jpserver-*.json")).read_text()
        )["port"]

    def listening(self) -> list[str]:
        """Addresses on which programs of this reader wait for connections, as the kernel of the system lists
        them: '127.0.0.1:40001'.
        """
        found = []
        for table in ("tcp", "tcp6"):
            for line in Path(f"/proc/net/{table}").read_text().splitlines()[1:]:
                part = line.split()
                if part[3] == "0A" and int(part[7]) == self.uid():
                    address, port = part[1].split(":")
                    plain = (
                        socket.inet_ntop(socket.AF_INET, bytes.fromhex(address)[::-1])
                        if table == "tcp"
                        else f"[{address}]"
                    )
                    found.append(f"{plain}:{int(port, 16)}")
        return found


class Kernel:
    """A kernel behind its server (and the hub's proxy), spoken to as the notebook page does."""

    def __init__(self, reader: Visitor, notebook: str, kernel_id: str):
        self.reader, self.notebook, self.models = reader, notebook, {}
        self.address = f"{reader.base.replace('http', 'ws', 1)}/api/kernels/{kernel_id}/channels"
        self._connect()

    def _connect(self) -> None:
        web = self.reader.web
        cookies = "; ".join(f"{cookie.name}={cookie.value}" for cookie in web.cookies)
        proof = {"Authorization": web.headers["Authorization"]} if "Authorization" in web.headers else {}
        self.socket = websocket.create_connection(
            self.address, cookie=cookies, header=proof, timeout=240, sslopt={"cert_reqs": 0}
        )
        self.used = time.monotonic()

    def _send(self, kind: str, content: dict) -> str:
        if time.monotonic() - self.used > 15:  # the server lets go of a page that does not answer it
            self.socket.close()
            self._connect()
        number = uuid.uuid4().hex
        header = {
            "msg_id": number,
            "msg_type": kind,
            "username": "",
            "session": "test",
            "version": "5.3",
            "date": "2026-01-01T00:00:00Z",
        }
        self.socket.send(
            json.dumps(
                {
                    "channel": "shell",
                    "header": header,
                    "parent_header": {},
                    "metadata": {},
                    "content": content,
                    "buffers": [],
                }
            )
        )
        return number

    def _until_idle(self, number: str) -> list[dict]:
        """All messages that answer one of ours; remembers the widgets they open."""
        seen = []
        while True:
            raw = self.socket.recv()
            if isinstance(
                raw, bytes
            ):  # a message with pictures: its offsets, then the message, then the pictures
                offsets = [
                    int.from_bytes(raw[4 * i : 4 * i + 4], "big")
                    for i in range(1, 1 + int.from_bytes(raw[:4], "big"))
                ]
                raw = raw[offsets[0] : offsets[1] if len(offsets) > 1 else None].decode()
            message = json.loads(raw)
            if message["parent_header"].get("msg_id") != number:
                continue
            content = message["content"]
            if message["header"]["msg_type"] == "comm_open":
                self.models[content["comm_id"]] = content["data"].get("state", {})
            seen.append(message)
            if message["header"]["msg_type"] == "status" and content["execution_state"] == "idle":
                self.used = time.monotonic()
                return seen

    def run(self, code: str) -> str:
        """Run code and return what it printed; AssertionError with the traceback when it failed."""
        seen = self._until_idle(
            self._send(
                "execute_request",
                {
                    "code": code,
                    "silent": False,
                    "store_history": True,
                    "user_expressions": {},
                    "allow_stdin": False,
                },
            )
        )
        for message in seen:
            assert message["header"]["msg_type"] != "error", "\n".join(message["content"]["traceback"])
        return "".join(
            message["content"]["text"] for message in seen if message["header"]["msg_type"] == "stream"
        )

    def run_lesson(self) -> None:
        """Every code cell of the reader's own copy of the notebook, in order."""
        answer = self.reader.web.get(
            f"{self.reader.base}/api/contents/notebooks/{self.notebook}.ipynb", timeout=60
        )
        for cell in answer.json()["content"]["cells"]:
            if cell["cell_type"] == "code" and cell["source"].strip():
                self.run(cell["source"])

    def sliders(self) -> list[tuple[str, dict]]:
        """The numeric sliders on the screen: their widget's number and state."""
        return [
            (number, state)
            for number, state in self.models.items()
            if "Slider" in state.get("_model_name", "")
            and isinstance(state.get("value"), (int, float))
            and "max" in state
        ]

    def move(self, slider: str, value: float) -> tuple[float, bool]:
        """Move a slider as the page does; returns the milliseconds until the kernel was idle again and
        whether a new picture came.
        """
        began = time.perf_counter()
        seen = self._until_idle(
            self._send(
                "comm_msg",
                {
                    "comm_id": slider,
                    "data": {"method": "update", "state": {"value": value}, "buffer_paths": []},
                },
            )
        )
        pictures = any(
            ["value"] in message["content"].get("data", {}).get("buffer_paths", []) for message in seen
        )
        return 1000 * (time.perf_counter() - began), pictures
