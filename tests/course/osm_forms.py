"""Writes a sketch as OpenStreetMap files: the elements that Overpass would give, as XML or PBF."""

from __future__ import annotations

from xml.sax.saxutils import quoteattr


def elements(sketch, relations=()):
    """Nodes, ways and relations of a sketch; ways refer to nodes by number."""
    rows = sketch.overpass("body")["elements"]
    return [*rows, *({"type": "relation", **row} for row in relations)]


def xml(rows):
    """OpenStreetMap XML, elements in the order given."""
    out = ["<?xml version='1.0' encoding='UTF-8'?>", "<osm version='0.6' generator='sketch'>"]
    for row in rows:
        place = f" lat='{row['lat']:.7f}' lon='{row['lon']:.7f}'" if row["type"] == "node" else ""
        out.append(f"<{row['type']} id='{row['id']}'{place}>")
        out += [f"<nd ref='{n}'/>" for n in row.get("nodes", ())]
        out += [
            f"<member type='{m.get('type', 'way')}' ref='{m['ref']}' role='{m.get('role', 'outer')}'/>"
            for m in row.get("members", ())
        ]
        out += [f"<tag k={quoteattr(k)} v={quoteattr(v)}/>" for k, v in row.get("tags", {}).items()]
        out.append(f"</{row['type']}>")
    return "\n".join([*out, "</osm>"]).encode()


def pbf(rows, path):
    """OpenStreetMap PBF, elements in the order given."""
    import osmium
    from osmium.osm import mutable

    path.unlink(missing_ok=True)
    with osmium.SimpleWriter(str(path)) as writer:
        for row in rows:
            tags = row.get("tags", {})
            if row["type"] == "node":
                writer.add_node(mutable.Node(id=row["id"], location=(row["lon"], row["lat"]), tags=tags))
            elif row["type"] == "way":
                writer.add_way(mutable.Way(id=row["id"], nodes=row["nodes"], tags=tags))
            else:
                members = [
                    (m.get("type", "way")[0], m["ref"], m.get("role", "outer")) for m in row["members"]
                ]
                writer.add_relation(mutable.Relation(id=row["id"], members=members, tags=tags))
    return path
