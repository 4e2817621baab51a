"""The address the site answers at: taken before anything is started, and asked until it answers."""

import http.client
import ipaddress
import socket
import ssl
import time

from .say import refuse


def open_door(host: str, port: int) -> socket.socket:
    """Bind the address now, so that a taken port is known at once and a restarted web server keeps its own."""
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    except (socket.gaierror, UnicodeError):
        refuse(f"The host {host} is not an address of this machine: give --host 127.0.0.1, or --host 0.0.0.0 for all.")
    family, kind, protocol, _, address = found[0]
    door = socket.socket(family, kind, protocol)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind(address)
    except PermissionError:
        refuse(f"Port {port} needs root on this machine: choose one above 1023 with --port.")
    except OSError as problem:
        if problem.errno == 98:
            refuse(
                f"Port {port} on {host} is taken by another program: choose another with --port, or stop that program."
            )
        refuse(f"Port {port} on {host} cannot be used ({problem.strerror}): choose another with --host and --port.")
    # A listener elsewhere may still share a bound but silent port: listening settles who owns it.
    try:
        door.listen(128)
    except OSError:
        refuse(f"Port {port} on {host} is taken by another program: choose another with --port, or stop that program.")
    return door


def is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host.split("%")[0]).is_loopback
    except ValueError:
        return host == "localhost"


def is_everywhere(host: str) -> bool:
    return host in ("0.0.0.0", "::", "")


def shown_address(host: str, port: int, tls: bool) -> str:
    """The address a person types."""
    name = (socket.gethostname() if is_everywhere(host) else host).strip()
    if ":" in name:
        name = f"[{name}]"
    return f"{'https' if tls else 'http'}://{name}:{port}/"


def accepted_hosts(host: str) -> str:
    """The names the site answers to: this machine's own."""
    names = ["localhost", "127.0.0.1", "[::1]"]
    if is_everywhere(host):
        own = socket.gethostname()
        names += [own, socket.getfqdn()]
        try:
            names += [f"[{each[4][0]}]" if ":" in each[4][0] else each[4][0] for each in socket.getaddrinfo(own, None)]
        except socket.gaierror:
            pass
        names += _outward_addresses()
    else:
        names.append(f"[{host}]" if ":" in host else host)
    return ",".join(dict.fromkeys(name for name in names if name))


def _outward_addresses() -> list[str]:
    """The address other machines see. Connecting a datagram socket sends nothing; it only chooses a route."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as line:
            line.connect(("192.0.2.1", 9))  # documentation range, RFC 5737
            return [line.getsockname()[0]]
    except OSError:
        return []


def check_certificate(cert: str | None, key: str | None) -> bool:
    """Whether the site speaks TLS; refuse a half-given or unusable pair."""
    if not cert and not key:
        return False
    if not (cert and key):
        refuse("--cert and --key go together: give both files, or neither.")
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(cert, key, password=lambda: "")
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or getattr(problem, "reason", None) or problem
        refuse(f"The certificate {cert} and key {key} cannot be used ({reason}): give a PEM pair without a passphrase.")
    return True


def answers(host: str, port: int, tls: bool, seconds: float, is_over) -> bool:
    """Whether the sign-in page answers within the time; `is_over()` ends the wait early."""
    target = "127.0.0.1" if host in ("0.0.0.0", "") else "::1" if host == "::" else host
    end = time.monotonic() + seconds
    while time.monotonic() < end and not is_over():
        try:
            if tls:
                # Our own process on our own address: who it is needs no proof here.
                line = http.client.HTTPSConnection(target, port, timeout=10, context=ssl._create_unverified_context())
            else:
                line = http.client.HTTPConnection(target, port, timeout=10)
            line.request("GET", "/sign-in/", headers={"Host": "localhost"})
            status = line.getresponse().status
            line.close()
            if status == 200:
                return True
        except (OSError, http.client.HTTPException):
            pass
        time.sleep(0.2)
    return False
