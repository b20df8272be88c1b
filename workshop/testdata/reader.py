"""Reads an export folder with nothing but the Python library and docs/files.md.

The tests run this to see that an export can be read without the program that
wrote it: it checks every checksum and the id of every revision, and prints one
line of JSON for each revision and draft.
"""
import base64
import hashlib
import json
import pathlib
import sys


def revision_id(header, line, document):
    parts = ["stovewright revision 1", header["record"], header["kind"], line.get("parent", ""),
             line["action"], line.get("restores", ""), line["who"], line["why"], line["at"], line["name"],
             "true" if line.get("deleted") else "false", hashlib.sha256(document).hexdigest()]
    for a in line.get("attachments", []):
        parts += [a["name"], a["mime"], a["sha256"]]
    h = hashlib.sha256()
    for part in parts:
        data = part.encode("utf-8")
        h.update(b"%d:%s," % (len(data), data))
    return h.hexdigest()[:32]


def content(line):
    if "base64" in line:
        return base64.b64decode(line["base64"])
    return line["content"].encode("utf-8")


def lines(path):
    # Only a line feed ends a line; the names may hold other separators.
    return [json.loads(s) for s in path.read_bytes().decode("utf-8").split("\n") if s]


def main(folder):
    index = json.loads((folder / "workshop.json").read_text("utf-8"))
    assert (index["format"], index["version"]) == ("stovewright workshop export", 1)
    seal = "%s\t%d\n" % (index["format"], index["version"])
    for r in index["records"]:
        seal += "record\t%(id)s\t%(kind)s\t%(head)s\t%(document)s\t%(history)s\n" % r
    for f in index["files"]:
        seal += "file\t%(path)s\t%(size)d\t%(sha256)s\n" % f
        data = (folder / f["path"]).read_bytes()
        assert len(data) == f["size"] and hashlib.sha256(data).hexdigest() == f["sha256"], f["path"]
    assert hashlib.sha256(seal.encode("utf-8")).hexdigest() == index["sum"], "workshop.json"
    for r in index["records"]:
        header, *revisions = lines(folder / r["history"])
        for line in revisions:
            document = content(line)
            assert revision_id(header, line, document) == line["revision"], line
            if line["revision"] == r["head"]:
                assert document == (folder / r["document"]).read_bytes()
                assert line["name"] == r["name"] and line.get("deleted", False) == r.get("deleted", False)
            print(json.dumps(["revision", r["id"], line["revision"], line["who"], line["why"], line["at"],
                              line["name"], hashlib.sha256(document).hexdigest()]))
    for path in sorted(folder.glob("*/*.drafts.jsonl")):
        for line in lines(path):
            print(json.dumps(["draft", path.name.split("--")[-1].split(".")[0], line["base"], line["who"], line["why"],
                              line["at"], line["name"], hashlib.sha256(content(line)).hexdigest()]))


main(pathlib.Path(sys.argv[1]))
