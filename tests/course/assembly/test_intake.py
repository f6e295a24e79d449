"""Import, edit, import again: the file's news come in, the caddie's work stays, clashes are asked about."""

import json

import pytest
from click.testing import CliRunner

from strategy.cli.main import main
from strategy.course import read_course
from strategy.course.assembly.intake import import_course
from strategy.course.readers.source import read_table
from strategy.errors import CourseError
from tests.course import osm_forms
from tests.course.geopackages import put


@pytest.fixture
def world(sketch, tmp_path):
    """A file that can be changed, a folder, and what stands in it."""
    return World(sketch, tmp_path)


class World:
    def __init__(self, sketch, tmp_path):
        self.sketch, self.file, self.folder = sketch, tmp_path / "export.geojson", tmp_path / "sandholm"
        sketch.hole("1", name="Out")
        sketch.hole("2", x=120, name="Home")
        self.pit = sketch.disc(20, 200, 8, golf="bunker")
        self.save()

    def save(self):
        self.sketch.write(self.file)

    def bring(self, **more):
        return import_course(self.file, self.folder, **more)

    def features(self):
        path = self.folder / "course.geojson"
        return {f.fid: f for f in read_table(str(path), path.read_bytes()).features}

    def edit(self, change):
        """Change course.geojson as an editor would."""
        path = self.folder / "course.geojson"
        document = json.loads(path.read_text(encoding="utf-8"))
        change({row["id"]: row for row in document["features"]}, document["features"])
        path.write_text(json.dumps(document, indent=2), encoding="utf-8")

    def move(self, fid, east):
        """Move a feature of the file."""
        for k, (name, kind, points, tags) in enumerate(self.sketch.rows):
            if name == fid:
                self.sketch.rows[k] = (name, kind, [(x + east, y) for x, y in points], tags)
        self.save()

    def tag(self, fid, **tags):
        for name, _, _, held in self.sketch.rows:
            if name == fid:
                held.update(tags)
        self.save()


def asked(done):
    return [f.text for f in done.findings if f.kind.value == "question"]


def test_a_first_import_writes_a_folder_that_reads_as_the_file_does(world):
    done = world.bring()
    assert sorted(p.name for p in world.folder.iterdir()) == [
        "course.geojson",
        "course.toml",
        "imported.json",
    ]
    assert (len(done.new), done.written) == (7, 7)
    file, folder = read_course(world.file), read_course(world.folder)
    assert folder.name == "sandholm"
    assert [(h.label, h.name, h.par) for h in folder.holes] == [(h.label, h.name, h.par) for h in file.holes]
    assert "OpenStreetMap contributors, ODbL" in folder.credit
    assert 'credit = "© OpenStreetMap contributors' in (world.folder / "course.toml").read_text(
        encoding="utf-8"
    )


def test_importing_again_changes_nothing(world):
    world.bring()
    before = {p.name: p.read_bytes() for p in world.folder.iterdir()}
    done = world.bring()
    assert {p.name: p.read_bytes() for p in world.folder.iterdir()} == before
    assert (done.new, done.changed, done.removed, done.edited, done.findings) == ((), (), (), (), ())


def test_an_editor_that_writes_everything_anew_is_no_change(world):
    world.bring()

    def rewrite(rows, features):
        features.reverse()
        for row in features:
            row["properties"]["colour"] = None  # a GIS gives every feature every column
            if "par" in row["properties"]:
                row["properties"]["par"] = int(row["properties"]["par"])
            if row["geometry"]["type"] == "Polygon":
                ring = row["geometry"]["coordinates"][0][:-1]
                ring = ring[3:] + ring[:3]
                row["geometry"] = {"type": "MultiPolygon", "coordinates": [[[*ring, ring[0]]]]}
            del row["id"]

    world.edit(rewrite)
    assert world.bring().edited == ()


def test_news_of_the_file_come_in(world):
    world.bring()
    world.move(world.pit, 6)
    world.tag("way/1", par="5")
    fresh = world.sketch.disc(-20, 250, 8, golf="bunker")
    world.sketch.rows = [row for row in world.sketch.rows if row[0] != "way/5"]
    world.save()
    done = world.bring()
    assert set(done.changed) == {world.pit, "way/1"}
    assert (done.new, done.removed) == ((fresh,), ("way/5",))
    assert world.features()["way/1"].tags["par"] == "5"
    assert "way/5" not in world.features()
    assert asked(done) == []


def test_what_you_changed_added_and_removed_stays(world):
    world.bring()

    def work(rows, features):
        rows[world.pit]["properties"]["name"] = "The Pot"
        rows["way/3"]["geometry"]["coordinates"][0][5][0] += 0.0001
        features.remove(rows["way/2"])
        new = {"type": "Polygon", "coordinates": [[[2.0, 54.5], [2.001, 54.5], [2.0, 54.501], [2.0, 54.5]]]}
        features.append({"type": "Feature", "id": "mine", "properties": {"golf": "rough"}, "geometry": new})

    world.edit(work)
    mine = world.features()
    done = world.bring()
    assert set(done.edited) == {world.pit, "way/3", "mine"}
    assert done.left_out == ("way/2",)
    assert world.features() == mine
    assert asked(done) == []
    assert world.bring().left_out == ("way/2",)  # and again


def test_tags_and_outline_are_merged_apart(world):
    world.bring()
    world.edit(lambda rows, _: rows[world.pit]["properties"].update(name="The Pot"))
    world.move(world.pit, 6)
    done = world.bring()
    pit = world.features()[world.pit]
    assert pit.tags["name"] == "The Pot"
    x, _ = world.sketch.frame.project(pit.geometry).centroid.coords[0]
    assert x == pytest.approx(26, abs=0.1)
    assert asked(done) == []


def test_a_clash_keeps_yours_and_is_asked_once(world):
    world.bring()
    world.edit(lambda rows, _: rows["way/1"]["properties"].update(name="Mine"))
    world.tag("way/1", name="Theirs")
    done = world.bring()
    assert world.features()["way/1"].tags["name"] == "Mine"
    assert asked(done) == ["way/1: tags changed by you and in the file; yours stays"]
    assert asked(world.bring()) == []


def test_the_same_change_on_both_sides_is_no_clash(world):
    world.bring()
    world.edit(lambda rows, _: rows["way/1"]["properties"].update(name="New"))
    world.tag("way/1", name="New")
    assert asked(world.bring()) == []


def test_removed_on_one_side_and_changed_on_the_other(world):
    world.bring()
    world.edit(lambda rows, features: features.remove(rows[world.pit]))
    world.edit(lambda rows, _: rows["way/1"]["properties"].update(name="Mine"))
    world.move(world.pit, 6)
    world.sketch.rows = [row for row in world.sketch.rows if row[0] != "way/1"]
    world.save()
    done = world.bring()
    assert set(asked(done)) == {
        f"{world.pit}: you removed it, and the file has changed it since; it stays removed",
        "way/1: it is gone from the file, and you have changed it; yours stays",
    }
    assert world.pit not in world.features()
    assert "way/1" in world.features()


def test_comments_and_keys_of_course_toml_survive(world):
    world.folder.mkdir()
    notes = world.folder / "course.toml"
    notes.write_text(
        '# my notes\nunits = "metres"  # as the club has it\n\n[holes.1]\npar = 5 # for the week\n',
        encoding="utf-8",
    )
    world.bring()
    text = notes.read_text(encoding="utf-8")
    assert "# my notes" in text
    assert "# as the club has it" in text
    course = read_course(world.folder)
    assert course.hole("1").par == 5
    assert course.name == "sandholm"
    assert "ODbL" in course.credit
    notes.write_text(text.replace('name = "sandholm"', 'name = "Our Links" # better'), encoding="utf-8")
    world.bring()
    assert 'name = "Our Links" # better' in notes.read_text(encoding="utf-8")


def test_a_folder_in_another_system_becomes_longitude_and_latitude(world):
    world.folder.mkdir()
    (world.folder / "course.toml").write_text('crs = "EPSG:32631" # of the old file\nname = "x"\n')
    done = world.bring()
    assert any("crs is removed" in f.text for f in done.findings)
    assert len(read_course(world.folder).holes) == 2


def test_what_course_toml_speaks_of_is_missed_when_it_goes(world):
    world.bring()
    notes = world.folder / "course.toml"
    notes.write_text(
        notes.read_text(encoding="utf-8") + f'\n[penalty_areas]\n"{world.pit}" = "red"\n', encoding="utf-8"
    )
    world.sketch.rows = [row for row in world.sketch.rows if row[0] != world.pit]
    world.save()
    assert asked(world.bring()) == [f"{world.pit}: course.toml speaks of it, and it is not in the folder"]


def test_one_course_of_several_and_its_neighbour(new_sketch, tmp_path):
    drawn = new_sketch()
    drawn.box(-60, -60, 40, 500, leisure="golf_course", name="Ours")
    drawn.box(41, -60, 200, 500, leisure="golf_course", name="Theirs")
    drawn.line([(0, 0), (0, 330)], golf="hole", ref="1", par="4")
    drawn.box(-4, -4, 4, 4, golf="tee")
    own = drawn.disc(0, 414, 14, golf="green")
    drawn.hole("1", x=55, length=330)
    drawn.write(tmp_path / "both.geojson")
    with pytest.raises(CourseError, match="holds 2 courses"):
        import_course(tmp_path / "both.geojson", tmp_path / "links")
    assert not (tmp_path / "links").exists()
    import_course(tmp_path / "both.geojson", tmp_path / "links", "Ours")
    course = read_course(tmp_path / "links")
    assert course.name == "Ours"
    assert [h.label for h in course.holes] == ["1"]
    assert any(a.fid == own and a.surface.label == "green" for a in course.hole("1").areas)


@pytest.mark.parametrize("form", ["osm", "pbf", "gpkg"])
def test_every_form_comes_in(world, tmp_path, form):
    path = tmp_path / f"export.{form}"
    if form == "gpkg":
        table = read_table("x", world.file.read_bytes())
        put(path, "all", [(f.geometry, {"@id": f.fid, **f.tags}) for f in table.features])
    elif form == "pbf":
        osm_forms.pbf(osm_forms.elements(world.sketch), path)
    else:
        path.write_bytes(osm_forms.xml(osm_forms.elements(world.sketch)))
    first = import_course(path, world.folder)
    assert first.written == 7
    again = world.bring()  # the same course as GeoJSON: nothing but the last digits
    assert again.new == again.removed == again.edited == ()
    assert len(read_course(world.folder).holes) == 2


def test_another_course_and_damaged_folders_are_refused(world, new_sketch, tmp_path):
    world.bring()
    other = new_sketch()
    other.hole("1", fid="way/77")
    other.rows = [(f"way/{70 + k}", *row[1:]) for k, row in enumerate(other.rows)]
    other.write(tmp_path / "other.geojson")
    with pytest.raises(CourseError, match="holds another course"):
        import_course(tmp_path / "other.geojson", world.folder)
    with pytest.raises(CourseError, match="is the course folder itself"):
        import_course(world.folder, world.folder)
    with pytest.raises(CourseError, match="is a file, not a folder"):
        import_course(world.file, world.file.parent / "other.geojson")
    (world.folder / "imported.json").write_text("{")
    with pytest.raises(CourseError, match=r"imported\.json: cannot be understood"):
        world.bring()
    (world.folder / "imported.json").unlink()
    done = world.bring()  # without its memory everything in the folder is the caddie's
    assert asked(done) == []
    (world.folder / "course.toml").write_text("name = ")
    with pytest.raises(CourseError, match="is not TOML"):
        world.bring()


def test_the_command(world):
    run = CliRunner().invoke(main, ["import", str(world.file), "--to", str(world.folder)])
    assert run.exit_code == 0, run.output
    assert "7 features" in run.stdout
    assert "ODbL" in run.stdout
    again = CliRunner().invoke(main, ["import", str(world.file), "--to", str(world.folder)])
    assert "nothing has changed" in again.stdout
    nowhere = CliRunner().invoke(main, ["import", "nowhere.osm", "--to", str(world.folder)])
    assert nowhere.exit_code == 2
    assert "there is no such file" in nowhere.stderr
    assert f"Next: course-strategy check {world.folder}" in run.stdout


def test_a_folder_that_check_refuses_is_said_to_be_refused(sketch, tmp_path):
    sketch.disc(200, 0, 14, golf="green")
    file, folder = sketch.write(tmp_path / "export.geojson"), tmp_path / "links"
    run = CliRunner().invoke(main, ["import", str(file), "--to", str(folder)])
    assert run.exit_code == 0, run.output
    said = " ".join(run.stdout.split())
    assert "Next: mend this, for the folder cannot be planned as it stands:" in said
    assert "1 green has no line of play, and no tee is drawn. Draw a line tagged golf=hole for each" in said
    assert "Next: course-strategy check" not in said
    refused = CliRunner().invoke(main, ["check", str(folder)])
    assert refused.exit_code == 2
    assert " ".join(refused.stderr.split()) in said


def test_a_feature_that_course_toml_names_and_the_file_lost_refuses_the_folder(world):
    world.bring()
    notes = world.folder / "course.toml"
    notes.write_text(notes.read_text(encoding="utf-8") + f'\n[penalty_areas]\n"{world.pit}" = "red"\n')
    world.sketch.rows = [row for row in world.sketch.rows if row[0] != world.pit]
    world.save()
    assert "there is no feature" in world.bring().refused


def test_a_file_without_anything_of_golf_is_refused_and_nothing_written(new_sketch, tmp_path):
    drawn = new_sketch()
    drawn.box(0, 0, 50, 50, amenity="school")
    school = drawn.write(tmp_path / "school.geojson")
    bare = tmp_path / "bare.json"  # ways without their nodes: not one feature has a geometry
    ways = [{"type": "way", "id": 1, "nodes": [5, 6], "tags": {"golf": "hole"}}]
    bare.write_text(json.dumps({"elements": ways}))
    for file, count in ((school, 1), (bare, 0)):
        run = CliRunner().invoke(main, ["import", str(file), "--to", str(tmp_path / "links")])
        assert run.exit_code == 2
        assert f"none of its {count} features is tagged golf=*: nothing to bring in" in run.stderr
        assert not (tmp_path / "links").exists()
