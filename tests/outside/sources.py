"""Where the outside checks come from: title, page, the day it was read or speaks of, and how sure it is.

Sureness: "primary" was read in the publisher's own text; "secondary" on a page about it; "memory" is widely published
but was not found readable; "practice" is common practice without a source; "derived" follows by arithmetic from a
definition; "library" is worked out again by a library that knows nothing of this project.
"""

from dataclasses import dataclass

import pytest

SURENESS = ("primary", "secondary", "memory", "practice", "derived", "library")


@dataclass(frozen=True)
class Source:
    """One source: what it is, where in it, when it was read or printed, how sure."""

    title: str
    page: str
    day: str
    sureness: str


def against(*sources: Source) -> pytest.MarkDecorator:
    """Mark a test with what it is held against; the least sure part of a check is among them."""
    return pytest.mark.source(*sources)


_READ = "read 2026-11-27"
_COMPILED = "read November 2026"

# Parcel carriers.
UPS_SIZES = Source(
    "UPS, weight and size limits",
    "ups.com/content/us/en/resources/ship/packaging/weight_size.html: 150 lb, 108 in, 165 in, nearest inch",
    f"undated copy, {_READ}",
    "primary",
)
UPS_DIMENSIONAL = Source(
    "UPS, dimensional weight",
    "ups.com/content/cb/en/resources/ship/packaging/dim_weight.html: nearest inch, 139, up to the next pound",
    f"undated copy, {_READ}",
    "primary",
)
UPS_LARGE = Source(
    "UPS, billable weight, part on large packages",
    "ups.com/vi/en/help-center/packaging-and-supplies/determine-billable-weight.page: 90 lb at least, and additional "
    "handling not charged as well",
    f"undated copy, {_READ}",
    "primary",
)
UPS_LARGE_2026 = Source(
    "guide to the large package surcharge by a fulfilment house",
    "redstagfulfillment.com/ups-large-package-surcharge: 96 in, 130 in, 17,280 in³, 110 lb, 90 lb",
    f"edition of 2026, {_READ}",
    "secondary",
)
HANDLING_LIST = Source(
    "UPS and FedEx, lists of what additional handling is charged for",
    "48 in, 30 in, 105 in; outer container not of corrugated board, handles, straps",
    f"text copies of 2021 to 2023, {_COMPILED}",
    "secondary",
)
FEDEX_2018 = Source(
    "a mailing trade page on the changes of January 2018",
    "article of 2018-04-30 on large packages: 48 in, 96 in, 70 lb",
    f"2018-04-30, {_READ}",
    "secondary",
)
WEIGHT_2020 = Source(
    "FreightWaves, major handling surcharges on more parcels; a mailing trade page on the rates of 2020",
    "freightwaves.com/news/fedex-ups-to-slap-major-handling-surcharges-on-more-parcels: 50 lb in place of 70, UPS from "
    "2019-12-29; the trade page has FedEx from 2020-01-20, the first one from 2020-01-06",
    f"autumn 2019, {_READ}",
    "secondary",
)
ROUND_UP_2025 = Source(
    "trade press on the change of 2025-08-18",
    "parcelindustry.com/article-6567: any fraction of an inch up, 11.1 × 8.5 × 6.2 in; 11 × 10 × 9 in is 8 lb",
    f"2025, {_READ}",
    "secondary",
)
ROUND_UP_2025_B = Source(
    "packaging distributor on the change of 2025-08-18",
    "atlanticpkg.com/?p=16059: 11.1 × 8.1 × 4.1 in is 540 in³, billed 4 lb",
    f"2025, {_READ}",
    "secondary",
)
VOLUME_2026 = Source(
    "Supply Chain Dive, FedEx and UPS surcharge changes by cubic volume",
    "supplychaindive.com/news/fedex-ups-cubic-surcharge-measurements-2026/809770: 10,368 and 17,280 in³, 110 lb; "
    "46 × 24 × 16 in; FedEx 2026-01-12, UPS 2026-01-26",
    f"January 2026, {_READ}",
    "secondary",
)
EXPRESS_LIMITS = Source("FedEx Express, size limits", "119 in; one copy prints other limits", "undated", "memory")
POSTAL_LAST_MILE = Source(
    "trade pages on the economy service with postal last mile", "70 lb, 60 in, 130 in", _COMPILED, "secondary"
)

# Posts.
USPS_LIMITS = Source(
    "USPS, Domestic Mail Manual C010", "70 lb; 108 in of length and girth", f"2004, {_COMPILED}", "primary"
)
USPS_GIRTH = Source(
    "USPS, page on girth and dimensional weight",
    "divisor 194 in zones 5 to 8 above 1,728 in³; above 70 lb dimensional the price of 70 lb",
    f"2007 rules, {_COMPILED}",
    "primary",
)
USPS_2019 = Source("trade pages on the change of 2019-06-23", "divisor 166 above 1,728 in³", _COMPILED, "secondary")
USPS_130 = Source("USPS Ground Advantage, oversized price", "to 130 in of length and girth", "undated", "memory")
USPS_2022 = Source(
    "a mailing trade page of 2022-03-31 on the nonstandard fees; a hobby forum that repeats them",
    "22 in, 30 in, 2 ft³; 16 × 15 × 15, 25 × 12 × 12, 35 × 10 × 10 in; ogrforum.com/topic/usps-sticker-shock",
    f"2022-03-31, {_READ}",
    "secondary",
)
USPS_2026 = Source(
    "trade pages on the notice of 2026-05-11; final rule in the Federal Register, volume 91, number 94, page 27837",
    "govinfo.gov FR Doc 2026-09785: in force 2026-07-12; 139 and any fraction up on the trade pages",
    f"2026-05-15, {_READ}",
    "secondary",
)
DHL_DIVISOR = Source("DHL Express, page on volumetric weight", "5000 cm³/kg", f"undated copy, {_COMPILED}", "primary")
HALF_KILO = Source("trade pages on express and air freight", "half kilos, up", _COMPILED, "secondary")
AIR_6000 = Source(
    "IATA's volume rule for air freight, trade pages and a post office's example",
    "6000 cm³/kg; 62 × 49 × 39 cm of 10 kg",
    _COMPILED,
    "secondary",
)
SMALL_PACKET = Source(
    "post offices' pages on small packets and parcels abroad",
    "2 kg, 600 mm, 900 mm in all; 20 kg, 1.5 m, 3 m of length and girth",
    _COMPILED,
    "secondary",
)

# Board.
POSTAL_GRADES = Source(
    "USPS Publication 2, Packaging for Mailing", "exhibit 2-3.1.3", f"edition of the 2000s, {_COMPILED}", "primary"
)
DENSE_ITEMS = Source(
    "USPS Publication 2, Packaging for Mailing",
    "section 6-3, pe.usps.gov/text/pub2/pub2c6_003.html: 15 lb, 60 lb/ft², 200 lb test to 45 lb, 275 lb to 70 lb",
    f"edition of the 2000s, {_READ}",
    "primary",
)
ITEM_222 = Source(
    "NMFC Item 222 and UFC Rule 41 as a packaging company prints them",
    "ipack.com/solutions/corrugated-rules-and-regulations: weight, united inches, burst, facings of all walls",
    f"undated, {_READ}",
    "secondary",
)
ITEM_222_CRUSH = Source(
    "NMFC Item 222, edge crush column", "23 to 82 lb/in, dealers' tables for some lines", _COMPILED, "memory"
)
MCKEE = Source(
    "McKee, Gander and Wachuta, Compression strength formula for corrugated boxes",
    "Paperboard Packaging 48 (8), 1963, page 149; 5.87 as in R. Popil's paper on copy paper boxes, Georgia Tech",
    "1963",
    "secondary",
)
MCKEE_RANGE = Source(
    "range of McKee's formula", "length : width to 3, depth from a seventh of the perimeter", "1963", "memory"
)
RETAINED = Source(
    "industry handbook's table of retained strength",
    "load time 10, 30, 90, 180 days; humidity 50 to 100 %",
    _COMPILED,
    "secondary",
)
TAKE_UP = Source(
    "handbook arithmetic of board weight",
    "liners, 26 lb medium by take-up 1.43 (C) or 1.32 (B), 2 lb of glue a wall for 1000 ft²",
    "undated",
    "memory",
)
FEFCO = Source(
    "FEFCO and ESBO international fibreboard case code",
    "0201, 0203, 0300: length × width × height inside; wall and flap layers by geometry",
    f"R1 text, {_COMPILED}",
    "primary",
)
MAKERS_ALLOWANCES = Source(
    "box makers' metric allowances", "B 3/3/6, C 4/4/8, E 2/2/3, BC 7/7/14 mm", "undated", "memory"
)
CALIPERS = Source("board calipers by flute", "B 3.0, C 4.0, E 1.6, A 5.0, BC 7.0 mm", "undated", "memory")

# Wood and steel.
WOOD_HANDBOOK = Source(
    "Wood Handbook, U.S. Forest Products Laboratory, strength properties of woods grown in the United States",
    "table 5-3, specific gravity at 12 %, read in a copy for hardwoods",
    f"1999/2010, {_COMPILED}",
    "secondary",
)
SCREW_NUMBERS = Source(
    "ASME B18.6.1, wood screws, basic diameters by number",
    "No. 4 0.112 in, No. 6 0.138 in, No. 8 0.164 in, No. 10 0.190 in",
    "edition of 1981, reaffirmed",
    "memory",
)
WOOD_HANDBOOK_SOFT = Source(
    "Wood Handbook, U.S. Forest Products Laboratory, softwoods", "table 5-3, gravity at 12 %", "1999/2010", "memory"
)
MOISTURE = Source(
    "Wood Handbook, chapter on moisture and density", "12 % of water on the oven-dry mass", "1999/2010", "derived"
)
PLYWOOD_WEIGHT = Source("birch plywood makers' sheets", "650 to 700 kg/m³; 6, 9, 12, 15, 18 mm", "undated", "memory")
LOT_SPREAD = Source(
    "U.S. Forest Products Laboratory, Technical Note 218", "lots rarely differ by more than 10 %", _COMPILED, "primary"
)
BOX_NAILS = Source(
    "coated box nails, dealers' tables", "6d 1 7/8 in, 8d 2 3/8 in; 4d and 10d by half inches", _COMPILED, "secondary"
)
NAIL_LENGTH = Source(
    "Navy training manual 14119, fastenings",
    "enginemechanics.tpub.com/14119/Wood-Screws-85.html: three times as long, two thirds in the second piece",
    f"undated, {_READ}",
    "primary",
)
FASTENER_DISTANCES = Source(
    "LVL Handbook Europe, 2025, table 5.1: distances of nails and screws under 12 mm",
    "proofer.faktor.fi/epaper/LVLHandbook_2025/149: ends and rows 10 diameters, drilled before 7; across a row and to "
    "an edge drilled before 3",
    f"2025, {_READ}",
    "primary",
)
SCREW_PILOT = Source(
    "LVL Handbook Europe, 2025, section 5.5: holes for screws",
    "proofer.faktor.fi/epaper/LVLHandbook_2025/158: 0.5 to 0.7 of the diameter",
    f"2025, {_READ}",
    "primary",
)
NAIL_PILOT = Source(
    "Building Design and Construction Handbook on the NDS: nails and spikes",
    "civilengineeringx.com/bdac/nails-and-spikes: a hole of at most 75 % of the nail in wood of 0.6 or less",
    f"undated, {_READ}",
    "secondary",
)
NAIL_COURSE = Source(
    "Making of Wood Joints, trainees' handbook of lessons: nailing and screwing",
    "nzdl.org, collection of development handbooks: in a row and from the ends not less than 10 diameters",
    f"undated, {_READ}",
    "primary",
)
NAILS_A_BOARD = Source(
    "MIL-DTL-45449, ammunition boxes, 3.9.2 Spacing",
    "ammonuclearordboxespkgsspclzd.emilspec.com/MIL-DTL-45449/page8.html: two nails in a nominal 4 in, three in 6, "
    "four in 8, five in 10 and 12; an inch from the end",
    f"undated, {_READ}",
    "primary",
)
TAPE_WIDTH = Source(
    "USPS Publication 2, 4-5.2 Pressure-sensitive tape",
    "pe.usps.gov/text/pub2/pub2c4_005.html: not less than 2 in wide; boxes with flaps and telescoping boxes are banded",
    f"undated copy, {_READ}",
    "primary",
)
SCREW_HOLD = Source("screws in wood", "the fastened thickness and 7 diameters of hold", "undated", "memory")
SOFTWOOD_SIZES = Source(
    "American Softwood Lumber Standard PS 20",
    "dry sizes: 3/4 in; 1 1/2, 3 1/2, 5 1/2, 7 1/4, 9 1/4, 11 1/4",
    "2020",
    "memory",
)
BOARD_FOOT = Source("board foot", "a foot by a foot by an inch, nominal", "definition", "derived")
ISPM_15 = Source(
    "ISPM 15, Regulation of wood packaging material in international trade",
    "section 2.1, exemptions (studylib.net/doc/27190245 has the edition)",
    f"2018, published 2019, {_READ}",
    "primary",
)
STEEL = Source("handbook density of carbon steel", "7.85 g/cm³", "undated", "memory")
DIN_1041 = Source("DIN 1041, engineers' hammers", "weights from 100 g to 2 kg; sizes from memory", "undated", "memory")
FOAM_PRESSURE = Source("polyethylene plank, makers' cushion curves", "0.4 to 1.2 psi", "undated", "memory")
POUND_FORCE = Source("NIST Special Publication 811, appendix B.8", "1 lbf = 4.4482216 N", "2008", "memory")
FOAM_DENSITY = Source("polyethylene plank, makers' sheets", "1.7 lb/ft³", "undated", "memory")
PAPER_TOLERANCE = Source(
    "US Government paper specification standards, JCP A70",
    "gpo.gov/customers/text/vol11/011.htm: a tolerance of 5 pct in grammage; JCGM 100, 4.3.7, for what follows from it",
    f"1999, {_READ}",
    "primary",
)
BIRCH_PLYWOOD = Source("Handbook of Finnish Plywood", "mean density of birch plywood, 680 kg/m³", "undated", "memory")
PAPER_WEIGHT = Source("ISO 536 and ISO 216", "A4 of 80 g/m²", "definition", "derived")

# The bench.
BENCH = Source("packing bench practice", "webs, walls, pads, notches, overlaps; no source", "2026", "practice")

# Units, files, pictures.
YARD_AND_POUND = Source(
    "international yard and pound agreement; NIST SP 811 appendix B, Handbook 44 appendix C",
    "1 in = 25.4 mm, 1 lb = 453.592 37 g, exact",
    "1959; 2008",
    "memory",
)
BINARY_FRACTIONS = Source("IEEE 754", "304.8 / 25.4 in binary is above 12", "2019", "derived")
POUND_FORCE = Source("standard gravity, 3rd CGPM", "9.80665 m/s²", "1901", "derived")
PDF = Source("ISO 32000-1", "8.3.2.3: the unit of a page is 1/72 in", "2008", "memory")
PAGE_SIZES = Source("ISO 216; ANSI/ASME Y14.1", "A4 210 × 297 mm; Letter 8 1/2 × 11 in", "2007; 2020", "memory")
CSS_UNITS = Source("CSS Values and Units, level 4", "6.2: 1in = 2.54cm = 96px", "W3C", "memory")
DXF = Source(
    "DXF reference, header variables and group codes",
    "$INSUNITS 4 is millimetres; $EXTMIN, $EXTMAX are the drawing's corners; 10, 20, 8, 62",
    "2010 format",
    "memory",
)
CONTRAST = Source(
    "Web Content Accessibility Guidelines 2.2",
    "1.4.3 text 4.5 : 1, 1.4.11 graphics 3 : 1; relative luminance by sRGB",
    "W3C, 2023",
    "memory",
)
COUNTRIES = Source("ISO 3166-1 in the tz database", "iso3166.tab", "as installed", "primary")
GEOS = Source("shapely, which is GEOS", "areas, unions, distances", "pinned release", "library")
TRIMESH = Source("trimesh", "volumes of closed meshes", "pinned release", "library")
PDFPLUMBER = Source("pdfplumber", "lines and pages of a PDF", "pinned release", "library")

# Packing problems.
SQUARES = Source(
    "OEIS A038666; R. Korf, ICAPS 2004; E. Huang and R. Korf, IJCAI 2009", "least areas", "2004", "primary"
)
KORF_2010 = Source(
    "R. Korf, M. Moffitt and M. Pollack, Optimal rectangle packing",
    "Annals of Operations Research 179",
    "2010",
    "derived",
)
TEES = Source(
    "OEIS A256535, T-tetrominoes in a square",
    "oeis.org/A256535: 0, 0, 1, 4, 5, 8, 11, 16",
    f"2024-11-13, {_READ}",
    "primary",
)
WALKUP = Source(
    "D. W. Walkup, Covering a rectangle with T-tetrominoes", "Amer. Math. Monthly 72, 986-988", "1965", "secondary"
)
PERFECT_SHEETS = Source(
    "E. Hopper, B. C. H. Turton, An empirical investigation of heuristic algorithms for a 2D packing problem",
    "European Journal of Operational Research 128, 34-57; class C1, problems 1 and 2: sheets of 20 × 20 without waste; "
    "the sides from a copy of the data",
    "2001",
    "secondary",
)
MORON = Source(
    "Z. Moroń, O rozkładach prostokątów na kwadraty",
    "nine squares of 1, 4, 7, 8, 9, 10, 14, 15, 18 in 33 × 32; imlearningmath.com has the sides",
    f"1925, {_READ}",
    "secondary",
)
SQUARED_65 = Source(
    "R. Sprague; R. L. Brooks, C. A. B. Smith, A. H. Stone and W. T. Tutte, The dissection of rectangles into squares",
    "Duke Math. J. 7, 312-340: ten squares in 65 × 47",
    "1940",
    "memory",
)
CHEN_LEE_SHEN = Source(
    "C. S. Chen, S. M. Lee and Q. S. Shen, EJOR 80; J.-F. Tsai and H.-L. Li, Eng. Opt. 38",
    "least boxes around four and five boxes",
    "1995; 2006",
    "secondary",
)
SLOTHOUBER = Source("Slothouber and Graatsma's puzzle", "six 1 × 2 × 2 and three cubes in 3 × 3 × 3", "1970", "memory")
EXHAUSTIVE = Source("exhaustive search of the small cases", "in this project", "2026", "derived")
ISTA_1A = Source(
    "ISTA procedure 1A, drop heights by weight",
    "30, 24, 18, 12, 8 in below 21, 41, 61, 100 and to 150 lb; two secondary pages that agree",
    "2026",
    "secondary",
)
ENERGY = Source("energy of a fall on a linear spring", "G x / 2 = h + x", "mechanics", "derived")
FRAGILITY = Source(
    "handbook of cushioning", "fragility class of machinery, usable strain of soft foam", "undated", "memory"
)
WEIGHT_OVER_AREA = Source("pressure", "weight over area at 9.80665 m/s²", "mechanics", "derived")
FOOTINGS = Source(
    "textbooks of soil mechanics, eccentric footings",
    "W / A (1 + 6 e / L) to L / 6, then 2 W / (3 B (L / 2 - e))",
    "undated",
    "memory",
)
CANTILEVER = Source(
    "textbooks of the strength of materials, a cantilever under an even load",
    "moment p a² / 2, section modulus t² / 6 for each width",
    "undated",
    "derived",
)
STRESS_ENERGY = Source(
    "M. Daum, the stress-energy method",
    "stress a e^(b E); its least peak at b E = 1 follows by arithmetic",
    "2006",
    "derived",
)
BERKEY_WANG = Source(
    "J. O. Berkey and P. Y. Wang, Two-dimensional finite bin-packing algorithms, J. Oper. Res. Soc. 38, class 1",
    "20 parts on sheets of 10 × 10; least numbers proven again for this project",
    "1987",
    "secondary",
)
HOPPER_TURTON = Source(
    "E. Hopper and B. C. H. Turton, EJOR 128, instances C1",
    "parts that fill 20 × 20 without waste",
    "2001",
    "secondary",
)
BAR_EXAMPLES = Source(
    "textbook and encyclopedia examples of cutting bars",
    "paper reels of 5600; V. Chvátal's 100; cellulose of 100; H. Taha's 20; W. Winston's 17; proven again",
    "undated",
    "secondary",
)
BAR_ARITHMETIC = Source("parts, saw cuts and a bar", "n = floor((S + k) / (p + k))", "arithmetic", "derived")
RECTPACK = Source(
    "rectpack 0.2.2",
    "28 packing rules, 6 orders, 3 rules for the next sheet; counts kept in tests/bench",
    _READ,
    "library",
)

# Lifting, customs, numbers on parcels, weighing.
NIOSH_EQUATION = Source(
    "NIOSH publication 94-110, Applications Manual for the Revised NIOSH Lifting Equation",
    "section 1.3, multipliers and their bounds, read in copies; 175 and 70 from memory",
    f"1994, revised 2021, {_COMPILED}",
    "secondary",
)
NIOSH_EXAMPLE = Source(
    "NIOSH publication 94-110, example 1", "a reel of 44 lb: 16.3 and 14.5 lb, 2.7 and 3.0", "1994", "memory"
)
NIOSH_COURSE = Source(
    "a course's exercise on the NIOSH equation",
    "homeworksource.com/p/1089113: 12 kg, 25, 55, 95 cm, 3 a minute, fair: 15.7 kg",
    f"undated, {_READ}",
    "secondary",
)
NIOSH_TABLE_5 = Source(
    "NIOSH publication 94-110, table 5, frequency multipliers",
    "two public programs print it alike: up to 1 h all rows, up to 2 h the first five; the rest from memory",
    f"1994, {_READ}",
    "memory",
)
HSE_LIFTING = Source(
    "HSE, Manual handling at work, leaflet INDG143", "lifting filter, 16 kg at elbow height", "2020", "secondary"
)
HTS_82 = Source(
    "Harmonized Tariff Schedule of the United States, chapter 82",
    "8205.20.30 heads not over 1.5 kg each, 8205.20.60 over 1.5 kg each",
    f"copies, {_COMPILED}",
    "primary",
)
HS_MEMORY = Source("Harmonized System, chapters 44 and 82", "8201.40, 4417.00, 8205.20", "edition of 2022", "memory")
CN22_PAGES = Source(
    "pages on the posts' customs forms",
    "dutiable.io/blog/how-to-file-cn22-customs-declaration; legalclarity.org: 300 SDR, 2 kg, 350 EUR, 420 USD",
    f"2026-04-11, {_READ}",
    "secondary",
)
GS1_DIGITS = Source(
    "GS1 offices, how to work out a check digit", "629104150021, 890400021003; others derived", _COMPILED, "memory"
)
UPU_S10 = Source("UPU standard S10", "weights 8 6 4 2 3 5 9 7, modulo 11; RA 473124829 FI", "undated", "memory")
JCGM_100 = Source(
    "JCGM 100:2008, Guide to the expression of uncertainty in measurement", "5.1.2, F.2.2.1, G.2, H.1", "2008", "memory"
)
NORMAL_SPREAD = Source("Python's statistics module, NormalDist", "shares of a normal spread", "3.11", "library")
