"""The commented job file that a new job is begun from; it builds as it stands."""

from __future__ import annotations

from string import Template

from cutlist.units import UnitName

_HEAD = Template("""\
# A job for cutlist. Change what differs, then: cutlist build FILE
# Lengths: $lengths. A bare number is in $unit.
# Pitches: "6/12", "26.6deg" or "50%".

name = "$name"
units = "$units"

[roof]
form = "$form"
$span_line
length = "$length"         # along the plate, end to end
pitch = "$pitch"
overhang = "$overhang"       # level, from the building line to the tail's plumb line
$rake_line
plate_height = "$plate_height"    # top of the plate above the floor; leave out if not needed
$roof_more

[rafter]
size = "$rafter"
spacing = "$spacing"        # on centres, from the end of the plate
seat = "auto"           # level length of the seat cut, or "auto": as much as the limits let
notch_limit = "1/3"     # of the rafter's depth, square to its edge; codes often ask "1/4"
tail = "plumb"          # plumb, square, level, or plumb-level (then give tail_height too)

$top
[plate]
width = "$plate"
# Is the plate a header carried on posts? Then the bearing on both is worked out:
# posts = { every = "$post_every", width = "$post_width", header = "beside" }   # or header = "on"

[saw]
kerf = "$kerf"
end_trim = "$trim"       # cut off each end of a board before use
keep_offcut = "$keep"    # an offcut at least this long is kept, shorter is waste
crown_up = true         # every part keeps its top edge on the board's crown edge
round_to = "$round_to"      # printed lengths

# Drawings for a CNC router, in a folder cnc/:
# [cnc]
# dxf = "R2010"           # R12 for old controllers, R2000, R2010
# files = "part"          # a file for each part, for each size (all its sticks), or each board
# relief = "$bit"       # diameter of the bit that clears inside corners; leave out for sharp ones
# text = "strokes"        # the mark in single strokes, or none
# origin = "lower-left"   # the corner that is 0,0: lower-left, lower-right, upper-left, upper-right
# side = "near"           # the face that lies up: near (as the parts are drawn), or far
# layers = { cut = "OUTLINE", far = "FAR", text = "MARKS", board = "BOARD" }

# Labels, ten on a sheet unless another stock is described; on a roll, width and height alone:
# [labels]
# on = "sheet"            # or "roll"
# sheet = $sheet   # width and height of the sheet
# width = "$label_width"     # of one label
# height = "$label_height"
# columns = 3
# rows = $label_rows
# margin_left = "$margin_left" # to the first label
# margin_top = "$margin_top"
# gap_across = "$gap"   # from one label to the next
# gap_down = 0
# first = 1               # the first label still on a sheet that is partly used

# One [[lumber]] for each size: what the yard sells. Leave it out for the usual lengths.
[[lumber]]
size = "$rafter"
lengths = [$board_lengths]
# prices = [$board_prices]   # one for each length: the cheapest order is found
# on_hand = [{ length = "$rack", count = 2 }]   # used first, at no cost
""")

_VALUES = {
    "imperial": {
        "lengths": '"16ft 3 1/2in", "3 1/2in", "16\' 3-1/2\\""',
        "unit": "inches",
        "span": "12ft",
        "length": "16ft",
        "pitch": "6/12",
        "shed_pitch": "3/12",
        "overhang": "12in",
        "rake": "12in",
        "plate_height": "8ft",
        "wing_span": "8ft",
        "sheathing": "1/2in",
        "wing_length": "6ft",
        "wing_at": '"10ft", "-6ft"',
        "bay_at": '"3ft"',
        "bay": '[0, 0], [0, "-1ft"], ["2ft", "-3ft"], ["4ft", "-3ft"], ["6ft", "-1ft"], ["6ft", 0]',
        "rafter": "2x8",
        "spacing": "24in",
        "ridge": "2x10",
        "plate": "3 1/2in",
        "post_every": "8ft",
        "post_width": "5 1/2in",
        "kerf": "1/8in",
        "trim": "1/4in",
        "keep": "24in",
        "bit": "1/4in",
        "round_to": "1/16in",
        "board_lengths": '"8ft", "10ft", "12ft", "14ft", "16ft", "18ft", "20ft"',
        "board_prices": "7.10, 8.90, 10.95, 13.20, 15.60, 19.40, 23.10",
        "rack": "9ft 2in",
        "shortest": "12in",
        "sheet": '["8 1/2in", "11in"]',
        "label_width": "2 5/8in",
        "label_height": "1in",
        "label_rows": "10",
        "margin_left": "3/16in",
        "margin_top": "1/2in",
        "gap": "1/8in",
    },
    "metric": {
        "lengths": '"3.6m", "3600mm"',
        "unit": "millimetres",
        "span": "3.6m",
        "length": "4.8m",
        "pitch": "30deg",
        "shed_pitch": "15deg",
        "overhang": "300mm",
        "rake": "300mm",
        "plate_height": "2.4m",
        "wing_span": "2.4m",
        "sheathing": "15mm",
        "wing_length": "1.8m",
        "wing_at": '"3m", "-1.8m"',
        "bay_at": '"900mm"',
        "bay": "[0, 0], [0, -300], [600, -900], [1200, -900], [1800, -300], [1800, 0]",
        "rafter": "45x195",
        "spacing": "600mm",
        "ridge": "45x245",
        "plate": "95mm",
        "post_every": "2.4m",
        "post_width": "145mm",
        "kerf": "3mm",
        "trim": "5mm",
        "keep": "600mm",
        "bit": "6mm",
        "round_to": "1mm",
        "board_lengths": '"2.7m", "3.3m", "3.9m", "4.5m", "5.1m", "5.4m"',
        "board_prices": "9.20, 11.30, 13.40, 15.50, 17.90, 19.20",
        "rack": "2.85m",
        "shortest": "300mm",
        "sheet": '["210mm", "297mm"]',
        "label_width": "63.5mm",
        "label_height": "38.1mm",
        "label_rows": "7",
        "margin_left": "7.2mm",
        "margin_top": "15.1mm",
        "gap": "2.5mm",
    },
}

_RAKE = 'rake_overhang = "$rake"  # of the gable ends; 0 for none'
_NO_RAKE = '# rake_overhang = "$rake"  # of gable and half-hip ends'
_GABLE_SPAN = 'span = "$span"           # outside of plate to outside of plate; measure both ends'
_GABLE_MORE = """\
# far_pitch = "$pitch"            # the far side, where it differs
# far_plate_height = "$plate_height"     # the far plate, where it differs"""
_GABLE_TOP = """\
[ridge]
kind = "board"          # board, beam (rafters sit on it), none (rafters meet)
size = "$ridge"
"""
_WING = """
# Does another roof meet this one? One [[wing]] for each, with the keys of [roof], and [valley]:
# [[wing]]
# form = "gable"          # or "hip" (then give [hip] size too)
# span = "$wing_span"
# length = "$wing_length"          # out from this roof's wall
# at = [$wing_at]   # the corner where its length and span start, from this roof's near left one
# turn = 90               # degrees its length is turned from this roof's, counter-clockwise
# open = true             # no wall, and so no plate, across its mouth
# plate_height = "$plate_height"    # where it differs; the overhang then follows from it
# overhang = "$overhang"     # its own, with kind = "overlay": a dormer stands on this roof
# [valley]
# size = "$ridge"         # with kind = "overlay" and sheathing = "$sheathing": plates on this roof
"""
_BAY = """
# A bay is a wing with the corners of its walls, measured from at and in order from where they leave
# this roof's wall to where they come back to it (give [hip] size and [valley] size too):
# [[wing]]
# form = "hip"
# at = [$bay_at, 0]
# corners = [$bay]
"""
_SHED_SPAN = 'span = "$span"           # outside to outside of plates, or to the wall of a ledger'
_SHED_MORE = """\
high_end = "plate"      # or "ledger": a board on a wall (then give [ledger] size too)
high_overhang = "$overhang"  # level, past the high plate; leave out with a ledger"""
_SHED_TOP = """\
# [ledger]              # with high_end = "ledger"
# size = "$ridge"
"""

_HIP_MORE = """\
# far_pitch = "$pitch"            # the far side, where it differs
# end_pitch = "$pitch"            # the hipped ends, where they differ
# ends = ["hip", "gable"]      # left and right end: hip, gable, or half-hip (then hip_start too)
# Another plan than a rectangle? Leave out span and length, and give its corners, or sides and span:
# corners = [[0, 0], ["$length", 0], ["$length", "$span"]]   # counter-clockwise
# sides = 8                    # of a regular plan; span is between opposite ones
# pitches = ["$pitch", "$pitch", "$pitch"]   # one a side, or "gable", in place of pitch"""
_HIP_TOP = (
    _GABLE_TOP
    + """
[hip]
size = "$ridge"
top = "drop"            # drop (whole stick lowered) or back (top edge bevelled)
jacks_from = "common"   # or "corner": where the jacks' spacing is carried from
shortest_jack = "$shortest"  # shorter ones are left out
"""
)

_FORMS = {
    "gable": ("Garden gable", _GABLE_SPAN, _GABLE_MORE, _GABLE_TOP + _WING + _BAY),
    "hip": ("Garden hip", _GABLE_SPAN, _HIP_MORE, _HIP_TOP + _WING + _BAY),
    "shed": ("Garden lean-to", _SHED_SPAN, _SHED_MORE, _SHED_TOP),
}

FORMS = tuple(_FORMS)


def starter_text(form: str, units: UnitName) -> str:
    """Return a commented job file of a roof form in a unit system."""
    name, span, more, top = _FORMS[form]
    values = dict(_VALUES[units])
    if form == "shed":
        values["pitch"] = values["shed_pitch"]
    filled = {
        key: Template(text).substitute(values)
        for key, text in (
            ("span_line", span),
            ("rake_line", _NO_RAKE if form == "hip" else _RAKE),
            ("roof_more", more),
            ("top", top),
        )
    }
    return _HEAD.substitute(values, **filled, name=name, units=units, form=form)
