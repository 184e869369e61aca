"""JupyterHub for one club on one Linux computer: the settings of data/workshop/many_readers.md. Everything
not named here is JupyterHub's own default.
"""

import sys
from pathlib import Path

c = get_config()  # noqa: F821 (JupyterHub puts this name here)

# Who gets in: Linux accounts of the group 'readers', with the account's own password. Nobody is an
# administrator of the hub.
c.JupyterHub.authenticator_class = "pam"
c.PAMAuthenticator.allowed_groups = {"readers"}

# Each reader's notebook server runs as that reader's own Linux account, and listens on this computer only.
c.JupyterHub.spawner_class = "localprocess"
c.Spawner.ip = "127.0.0.1"
c.Spawner.cmd = [str(Path(sys.prefix) / "bin" / "jupyterhub-singleuser")]
c.Spawner.notebook_dir = "~/workbook"  # the reader's own copy
c.Spawner.default_url = "/lab/tree/notebooks/00_start_here.ipynb"
# kernels speak through files in the reader's folder, not through ports others could listen to
c.Spawner.args = ["--KernelManager.transport=ipc"]
c.Spawner.start_timeout = 120  # seconds, for many who start at once on a small computer

# The proxy that npm put beside JupyterHub
c.ConfigurableHTTPProxy.command = [str(Path(sys.prefix) / "bin" / "configurable-http-proxy")]

# Other computers are let in only over an encrypted connection: without a certificate the hub answers this
# computer alone.
certificate, key = Path("hub_certificate.pem"), Path("hub_key.pem")  # in the folder the hub is started from
if certificate.exists() and key.exists():
    c.JupyterHub.ssl_cert, c.JupyterHub.ssl_key = str(certificate.resolve()), str(key.resolve())
    c.JupyterHub.bind_url = "https://:8000"
else:
    c.JupyterHub.bind_url = "http://127.0.0.1:8000"
