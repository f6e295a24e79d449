"""What `make_demo_course` draws: eighteen invented holes, in yards.

A hole: `line` on the site plan (x east, y north; back tee, corners, middle of the green); `tees` as
(depth, side) back to forward; `fairway` stretches of (depth, left, right) of the line of play; `green`
(wide, deep, turned clockwise); `bunkers` (side, depth, length, width, turned); `guards`, bunkers along the
green, (clock angle from the back with right = 90, span, width, gap); `water` (colour, outline); `woods`
(side of the near edge, from, to, thickness); `fence` (side, from, to, distance from the line of play).
"""

from __future__ import annotations

LONG = ((0, 0), (24, 3), (52, -3), (88, 2))
MIDDLE = ((0, 0), (20, -3), (44, 3), (74, -2))
SHORT = ((0, 0), (15, 3), (32, -2), (52, 2))

HOLES = {
    1: {
        "name": "Homefield", "par": 4, "tees": MIDDLE,
        "line": ((-50, -20), (-105, 255), (-72, 402)),
        "fairway": [((165, -13, 14), (225, -15, 17), (285, -16, 16), (340, -14, 14), (385, -12, 12))],
        "green": (27, 30, 8),
        "bunkers": ((21, 262, 17, 9, 10), (24, 292, 14, 9, -15), (-23, 306, 16, 9, 20)),
        "guards": ((250, 17, 7, 3.5), (110, 13, 7, 4)),
        "woods": ((-42, 60, 330, 26), (48, 120, 330, 22)),
    },
    2: {
        "name": "The Gate", "par": 5, "tees": LONG,
        "line": ((-125, 470), (-395, 530), (-660, 480)),
        "fairway": [((175, -14, 15), (240, -16, 17), (300, -16, 17), (380, -15, 16), (438, -14, 15)),
                    ((486, -14, 14), (505, -13, 13), (528, -12, 12))],
        "green": (29, 29, -12),
        "bunkers": ((-24, 268, 16, 9, -10), (25, 296, 18, 10, 15), (-13, 456, 19, 9, 62), (4, 464, 17, 9, 70),
                    (19, 474, 15, 9, 55)),
        "guards": ((205, 14, 7, 4), (80, 18, 8, 3.5)),
        "woods": ((38, 90, 300, 20), (42, 330, 520, 18), (-46, 120, 300, 24), (-48, 350, 500, 20)),
    },
    3: {
        "name": "Boundary", "par": 4, "tees": MIDDLE,
        "line": ((-715, 430), (-735, 175), (-712, 30)),
        "fairway": [((160, -14, 13), (220, -16, 14), (275, -16, 13), (330, -14, 12), (372, -13, 12))],
        "green": (26, 31, -10),
        "bunkers": ((-24, 246, 17, 9, 0), (-26, 276, 15, 9, 20)),
        "guards": ((262, 19, 8, 3.5), (160, 12, 7, 4)),
        "woods": ((-44, 70, 360, 24),),
        "fence": (("right", 60, 440, 24),),
    },
    4: {
        "name": "Mirror", "par": 3, "tees": SHORT,
        "line": ((-665, 5), (-485, -45)),
        "green": (31, 27, 14),
        "guards": ((-28, 16, 7, 4), (12, 14, 7, 4), (268, 12, 7, 4)),
        "water": (("yellow", ((-26, 72), (-8, 66), (14, 70), (33, 84), (40, 110), (38, 140), (31, 168),
                  (33, 190),
                              (27, 202), (20.5, 194), (18, 176), (9, 167), (-6, 165), (-17, 158), (-29, 150),
                              (-37, 124), (-35, 94)),),),
        "woods": ((44, 90, 235, 26), (-50, 130, 240, 20)),
    },
    5: {
        "name": "Nave", "par": 4, "tees": MIDDLE,
        "line": ((-440, -5), (-350, 260), (-207, 382)),
        "fairway": [((180, -13, 13), (240, -14, 15), (290, -15, 15), (350, -14, 14), (436, -12, 12))],
        "green": (28, 31, 18),
        "bunkers": ((-22, 352, 15, 8, 10),),
        "guards": ((95, 20, 8, 3.5), (228, 15, 7, 4)),
        "woods": ((-24, 100, 330, 40), (25, 95, 320, 42), (34, 340, 440, 24)),
    },
    6: {
        "name": "Temptation", "par": 4, "tees": SHORT,
        "line": ((-190, 325), (-195, 100), (-240, 19)),
        "fairway": [((140, -15, 14), (200, -17, 15), (245, -16, 15), (300, -12, 12))],
        "green": (25, 33, 22),
        "bunkers": ((21, 222, 14, 9, 0), (-3, 262, 15, 9, 75), (24, 256, 17, 9, 20)),
        "guards": ((130, 17, 8, 3), (70, 14, 7, 3.5), (285, 13, 7, 4)),
        "water": (("red", ((-21, 250), (-20, 275), (-18, 298), (-19, 312), (-25, 322), (-36, 322), (-44, 306),
                           (-46, 280), (-40, 258), (-30, 246))),),
        "woods": ((46, 60, 230, 20),),
    },
    7: {
        "name": "Falling Ground", "par": 3, "tees": SHORT,
        "line": ((-285, -15), (-415, -183)),
        "green": (28, 30, -16),
        "guards": ((215, 18, 8, 3.5), (100, 15, 7, 4)),
        "bunkers": ((-16, 178, 14, 9, 40),),
        "woods": ((-40, 60, 240, 24), (42, 40, 225, 26)),
    },
    8: {
        "name": "Shoulder", "par": 4, "tees": MIDDLE,
        "line": ((-465, -135), (-700, -275), (-690, -450)),
        "fairway": [((170, -14, 15), (225, -16, 18), (280, -17, 20), (330, -15, 17), (415, -12, 12))],
        "green": (27, 31, -8),
        "bunkers": ((-22, 226, 16, 9, 15), (-25, 250, 15, 9, -5), (-23, 272, 14, 8, -25),
                    (27, 298, 18, 9, 10)),
        "guards": ((110, 17, 7, 3.5), (240, 14, 7, 4)),
        "woods": ((-38, 80, 262, 62), (-40, 280, 400, 26), (45, 60, 240, 24)),
    },
    9: {
        "name": "Long Acre", "par": 5, "tees": LONG,
        "line": ((-640, -500), (-370, -460), (-195, -325), (-118, -260)),
        "fairway": [((190, -15, 15), (250, -16, 17), (310, -16, 16), (400, -15, 15), (470, -15, 15),
                     (560, -12, 12))],
        "green": (29, 28, 10),
        "bunkers": ((23, 278, 18, 9, -10), (26, 306, 15, 9, 15), (-24, 318, 15, 9, 5), (-22, 470, 18, 9, 20),
                    (-5, 532, 13, 8, 60)),
        "guards": ((85, 17, 7, 4), (200, 14, 7, 4), (310, 14, 7, 4)),
        "woods": ((-40, 60, 290, 22), (-42, 330, 520, 24), (50, 120, 300, 14)),
    },
    10: {
        "name": "Slant", "par": 4, "tees": MIDDLE,
        "line": ((40, -60), (230, 155), (345, 280)),
        "fairway": [((175, -14, 14), (240, -16, 16), (290, -16, 16), (350, -14, 14), (430, -12, 12))],
        "green": (20, 41, 42),
        "bunkers": ((-23, 270, 17, 9, 10), (24, 300, 16, 9, -10)),
        "guards": ((165, 22, 9, 3.5), (328, 18, 8, 4)),
        "woods": ((-42, 80, 330, 26), (44, 100, 290, 24)),
    },
    11: {
        "name": "Crossing", "par": 4, "tees": MIDDLE,
        "line": ((320, 335), (160, 490), (40, 600)),
        "fairway": [((140, -14, 15), (200, -16, 17), (262, -16, 16), (292, -14, 14)),
                    ((312, -14, 14), (335, -13, 13), (362, -12, 12))],
        "green": (28, 28, -20),
        "bunkers": ((22, 246, 16, 9, 10), (-24, 226, 15, 9, -10)),
        "guards": ((75, 16, 7, 3.5), (270, 17, 8, 3.5)),
        "water": (("yellow", ((-80, 290), (-50, 297), (-20, 300), (0, 298.5), (22, 302), (48, 307), (75, 301),
                              (75, 306), (48, 312), (22, 307), (0, 303.5), (-20, 305), (-50, 302.5),
                               (-80, 296))),),
        "woods": ((-42, 60, 270, 24), (44, 40, 280, 26)),
    },
    12: {
        "name": "The Step", "par": 3, "tees": SHORT,
        "line": ((95, 625), (258, 655)),
        "green": (28, 27, 6),
        "guards": ((135, 16, 8, 3.5), (232, 16, 8, 3.5), (20, 15, 6, 4.5)),
        "woods": ((36, 30, 190, 22),),
    },
    13: {
        "name": "Hedgerow", "par": 4, "tees": LONG,
        "line": ((300, 610), (580, 560), (765, 490)),
        "fairway": [((185, -13, 15), (250, -14, 17), (310, -15, 17), (380, -14, 15), (452, -12, 12))],
        "green": (29, 31, 12),
        "bunkers": ((25, 288, 17, 9, -10), (27, 318, 15, 9, 10)),
        "guards": ((90, 18, 8, 4), (215, 13, 7, 4)),
        "woods": ((44, 110, 440, 26),),
        "fence": (("left", 60, 450, 30),),
    },
    14: {
        "name": "Saddle", "par": 4, "tees": MIDDLE,
        "line": ((790, 430), (800, 200), (750, 80)),
        "fairway": [((140, -15, 14), (200, -16, 15), (250, -15, 15), (330, -12, 12))],
        "green": (26, 29, -14),
        "bunkers": ((-20, 236, 16, 9, 0), (20, 252, 15, 9, 20), (-2, 300, 13, 8, 70)),
        "guards": ((160, 15, 7, 3.5), (275, 16, 7, 3.5), (60, 13, 7, 4)),
        "woods": ((44, 60, 310, 30), (-44, 60, 220, 14)),
    },
    15: {
        "name": "Kestrel Water", "par": 5, "tees": LONG,
        "line": ((810, 30), (795, -245), (650, -440), (625, -475)),
        "fairway": [((180, -15, 15), (250, -15, 16), (310, -16, 16), (380, -14, 15), (450, -14, 15),
                     (535, -12, 12))],
        "green": (28, 30, -25),
        "bunkers": ((24, 276, 17, 9, 10), (-25, 300, 17, 9, -15), (23, 474, 17, 9, -10)),
        "guards": ((105, 17, 8, 3.5), (20, 13, 7, 4)),
        "water": (("", ((-24, 440), (-21, 470), (-19, 500), (-20, 528), (-21, 548), (-18, 566), (-20, 584),
                        (-34, 590), (-50, 572), (-56, 540), (-54, 500), (-48, 462), (-36, 440))),),
        "woods": ((42, 60, 330, 26), (-46, 80, 260, 14), (46, 350, 520, 26)),
    },
    16: {
        "name": "Far Corner", "par": 3, "tees": MIDDLE,
        "line": ((560, -500), (345, -425)),
        "fairway": [((166, -11, 12), (185, -13, 13), (204, -12, 12))],
        "green": (30, 30, -10),
        "bunkers": ((17, 190, 15, 9, -30),),
        "guards": ((255, 20, 8, 3.5), (110, 15, 7, 4)),
        "woods": ((40, 40, 240, 28), (-40, 30, 230, 18)),
    },
    17: {
        "name": "Alder Walk", "par": 4, "tees": MIDDLE,
        "line": ((350, -365), (470, -120), (500, 25)),
        "fairway": [((165, -13, 14), (225, -15, 16), (280, -16, 16), (330, -14, 14), (390, -12, 12))],
        "green": (27, 29, 15),
        "bunkers": ((23, 258, 17, 9, 5), (-23, 282, 16, 9, -10), (-20, 362, 13, 8, 20)),
        "guards": ((105, 17, 7, 3.5), (245, 14, 7, 4)),
        "woods": ((42, 60, 380, 28), (-44, 90, 250, 24)),
    },
    18: {
        "name": "Evening", "par": 4, "tees": LONG,
        "line": ((455, 75), (240, -110), (75, -205)),
        "fairway": [((180, -14, 15), (245, -15, 17), (300, -16, 16), (360, -15, 14), (444, -12, 12))],
        "green": (29, 30, 20),
        "bunkers": ((23, 274, 17, 9, 10), (25, 304, 15, 9, -10)),
        "guards": ((95, 18, 8, 3.5), (30, 14, 7, 4)),
        "water": (("red", ((-22, 385), (-20, 410), (-18, 436), (-19, 455), (-18.5, 472), (-20, 490),
                  (-30, 500),
                           (-44, 494), (-53, 470), (-52, 436), (-44, 404), (-32, 384))),),
        "woods": ((44, 70, 330, 26), (-46, 90, 300, 24)),
    },
}  # fmt: skip

# Markers moved forward, by (round, hole): hole 6 can be driven on two days.
MARKERS = {(2, 6): "up = 22", (4, 6): "up = 15", (3, 16): "up = 20", (4, 12): "up = 12", (2, 15): "up = 18"}

# Woods between holes, on the site plan.
COMMON_WOODS = (
    ((-620, 330), (-560, 400), (-470, 420), (-440, 330), (-500, 200), (-560, 120), (-630, 120), (-650, 220)),
    ((-330, 420), (-280, 440), (-250, 425), (-270, 380), (-330, 340)),
    ((-620, 60), (-520, 90), (-480, 60), (-540, 30), (-600, 35)),
    ((-300, 200), (-270, 260), (-250, 180), (-270, 90), (-330, 60), (-350, 120)),
    ((-620, -40), (-560, -110), (-580, -170), (-660, -200), (-720, -150), (-700, -60)),
    ((-560, -300), (-480, -260), (-400, -270), (-300, -330), (-360, -390), (-480, -410), (-580, -400)),
    ((90, 330), (180, 370), (240, 330), (200, 250), (100, 180), (50, 220)),
    ((430, 480), (540, 500), (680, 450), (710, 330), (660, 220), (560, 240), (480, 330), (420, 400)),
    ((620, 130), (690, 160), (720, 40), (700, -120), (640, -180), (580, -60), (580, 60)),
    ((520, -230), (620, -260), (620, -360), (540, -420), (450, -340), (460, -260)),
    ((300, -60), (380, -80), (400, -180), (340, -250), (270, -200), (270, -110)),
    ((-240, -120), (-160, -90), (-140, -180), (-200, -240), (-270, -200)),
)

PRACTICE_GROUND = ((105, -300), (170, -262), (262, -232), (300, -300), (285, -372), (190, -398), (100, -380))

# "{4: -30, 60}" becomes longitude and latitude of (side, depth) on hole 4.
TOML = """\
# course.toml: what the caddie adds to the outlines in course.geojson. Every key may be left out.
# Written by scripts/make_demo_course; the course is invented and lies in the open sea.

name = "Fennhallow"
credit = "Outlines invented for this demonstration; tags as OpenStreetMap uses them"
units = "yards"                  # of every length below: "yards" or "metres"
out_of_bounds_complete = true    # the fence and the practice ground are all there is

# Which side of a drawn boundary is out needs saying only where it is not the side away from the hole.
[[out_of_bounds]]
feature = "practice-ground"      # internal: stakes along the practice ground
out = "inside"

[penalty_areas]                  # colours the outlines do not give
"water-15-1" = "red"

[tree_heights]                   # by feature; "default" for all others; "low", "medium", "tall" by eye
default = 15
"wood-5-1" = 22                  # the old beeches that line the 5th
"wood-5-2" = "tall"              # their far side, judged by eye: 22 m
"wood-8-1" = 18                  # inside the corner of the 8th

[trees]                          # both judged, for nothing published settles them
through = 0.25                   # chance that a ball comes through a crown 8 m across
stems = 70                       # how far it goes under the branches, on average

# Heights of the ground: a GeoTIFF height model or lidar raster beside this file, read with rasterio
# (pip install "course-strategy[heights]"); without it the ground counts as flat, and every plan says so.
[heights]
file = "ground.tif"
error = 0.1                      # standard error of a height against its neighbours, metres
# units = "metres"               # of its heights: "metres", "feet", "us survey feet"; left out = as it says
# crs = "EPSG:32631"             # only when the file does not say

[holes.9.green]                  # one green in words, where no heights are known or, as here, they are old
rebuilt = true                   # newer than ground.tif: the words count on the green all the same
fall = "2 % back to front"       # general; two with a comma: "2 % back to front, 1 % left to right"
run_offs = ["back"]              # left, right, front, back: a ball over that edge runs away
# false_front = 5                # a ball that lands on the first 5 comes back
# tier = { on = 16, high = "2 ft" }

[[drop_zones]]
hole = "4"
name = "drop zone"
at = {4: -30, 62}

[[sight_marks]]                  # something to aim at
hole = "1"
name = "lone pine"
at = {1: 4, 445}

[[sight_marks]]
hole = "8"
name = "water tower"
at = {8: -6, 520}

[[sight_marks]]
hole = "14"
name = "post on the crest"
at = {14: 0, 208}

[[sight_marks]]
hole = "18"
name = "clubhouse clock"
at = {18: 14, 540}

[holes.2]
notes = ["the cross bunkers slant from 80 short of the front on the left to 50 on the right"]

[holes.3]
notes = ["fence all along the right, 24 from the middle of the fairway"]

[holes.4]
notes = ["water short and right; the drop zone is left of the forward tee"]

[holes.5]
notes = ["beeches both sides as far as the drive goes"]

[holes.6]
notes = ["drivable from the forward markers; water left of the green"]

[holes.7]
notes = ["twelve down from the back tee"]

[holes.8]
notes = ["the corner can be cut over the bunkers on the left; the wood behind them is 18 high"]

[holes.9]
notes = ["the green is new since last winter: the survey of the ground is older"]

[holes.10]
notes = ["the green runs away to the back right, on a slant behind its front bunker"]

[holes.12]
notes = ["false front: a ball that lands in the first 5 paces comes back"]

[holes.13]
notes = ["the fairway falls to the right, 5 % where drives finish"]

[holes.14]
notes = [
    "the landing lies out of sight behind the crest: play over the post",
    "tier across the green at 16 on, the back half a yard higher",
]

[holes.17]
notes = ["ten up from the fairway to the green"]

[holes.18]
notes = ["water all along the left of the green; practice ground beyond it is out of bounds"]
"""
