"""The server behind `python3 scripts/serve` and these tests: right types, compressed, nothing outside its folder."""

import gzip
import urllib.error
import urllib.request

import pytest

from floor.server import HOST, Server, address_of, open_server, serving

PAGE = "<!doctype html><title>A page</title>" + "<p>Some words.</p>" * 100


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A small site on disk."""
    root = tmp_path_factory.mktemp("site")
    (root / "inner").mkdir()
    for name in ("index.html", "inner/index.html", "404.html"):
        (root / name).write_text(PAGE + name, encoding="utf-8")
    for name in ("one.mjs", "one.wasm", "one.svg", "one.toml", "one.css", "one.png"):
        (root / name).write_bytes(b"0" * 400)
    return root


@pytest.fixture(scope="module")
def where(folder):
    """The address of the small site."""
    with serving(folder) as address:
        yield address


def get(url, **headers):
    """Ask for a URL and return status, headers and body as sent."""
    asked = urllib.request.Request(
        url, headers={name.replace("_", "-"): value for name, value in headers.items()}
    )
    try:
        with urllib.request.urlopen(asked, timeout=10) as answer:
            return answer.status, answer.headers, answer.read()
    except urllib.error.HTTPError as answer:
        with answer:
            return answer.code, answer.headers, answer.read()


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        # The registered types: https://www.iana.org/assignments/media-types/
        ("", "text/html"),
        ("one.mjs", "text/javascript"),
        ("one.wasm", "application/wasm"),
        ("one.svg", "image/svg+xml"),
        ("one.toml", "application/toml"),
        ("one.css", "text/css"),
        ("one.png", "image/png"),
    ],
)
def test_types(where, name, kind):
    """Every kind of file is sent under its registered type; a browser refuses to run scripts that are not."""
    _, headers, _ = get(where + name)

    assert headers.get_content_type() == kind


def test_compressed(where, folder):
    """Text is sent compressed to a browser that can read it, and opens to the same bytes."""
    _, headers, body = get(where, Accept_Encoding="gzip")

    assert headers["Content-Encoding"] == "gzip"
    assert len(body) < len(PAGE) / 2
    assert gzip.decompress(body) == (folder / "index.html").read_bytes()


def test_a_file_is_compressed_once(where, folder, monkeypatch):
    """The same bytes go out again at the next request, also where the file stands in another folder by a link."""
    asked, compress = [], gzip.compress
    monkeypatch.setattr(gzip, "compress", lambda body: asked.append(len(body)) or compress(body))
    (folder / "large.mjs").write_bytes(b"1" * 5000)
    (folder / "inner" / "same.mjs").hardlink_to(folder / "large.mjs")

    bodies = {
        get(where + name, Accept_Encoding="gzip")[2] for name in ("large.mjs", "large.mjs", "inner/same.mjs")
    }

    assert [gzip.decompress(body) for body in bodies] == [b"1" * 5000]
    assert asked == [5000]


def test_not_compressed_twice(where):
    """A picture is compressed already and is sent as it is."""
    _, headers, body = get(where + "one.png", Accept_Encoding="gzip")

    assert headers["Content-Encoding"] is None
    assert body == b"0" * 400


def test_plain_for_those_who_ask_for_it(where, folder):
    """Somebody who cannot read compressed answers gets the plain file."""
    _, headers, body = get(where)

    assert headers["Content-Encoding"] is None
    assert body == (folder / "index.html").read_bytes()


def test_folder(where, folder):
    """A folder's address with or without the slash leads to its page."""
    status, _, body = get(where + "inner")

    assert status == 200
    assert body == (folder / "inner" / "index.html").read_bytes()


def test_wrong_address(where, folder):
    """A wrong address is answered as wrong, with the site's own page about it."""
    status, _, body = get(where + "nothing/here")

    assert status == 404
    assert body == (folder / "404.html").read_bytes()


@pytest.mark.parametrize("path", ["../secret.txt", "%2e%2e/secret.txt", "inner/../../secret.txt"])
def test_stays_in_its_folder(where, folder, path):
    """No address leads out of the folder that is served."""
    (folder.parent / "secret.txt").write_text("secret", encoding="utf-8")

    status, _, body = get(where + path)

    assert status == 404
    assert b"secret" not in body


def test_copy_that_still_stands(where):
    """A browser that already has the file is told so instead of being sent it again."""
    _, headers, _ = get(where)

    status, _, body = get(where, If_None_Match=headers["ETag"])

    assert (status, body) == (304, b"")


def test_changed_file(where, folder):
    """A file that was written anew is sent anew."""
    file = folder / "one.css"
    _, headers, _ = get(where + "one.css")
    file.write_bytes(b"1" * 400)

    status, _, body = get(where + "one.css", If_None_Match=headers["ETag"])

    assert (status, body) == (200, b"1" * 400)


def test_taken_port(folder):
    """When the wanted port is taken, a free one is used."""
    with Server((HOST, 0), None) as first, open_server(folder, first.server_port) as second:
        assert second.server_port != first.server_port
        assert address_of(second) == f"http://127.0.0.1:{second.server_port}/"
