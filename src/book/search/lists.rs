//! The words that a question is read by: what says nothing about a part, and what is said in two ways.

/// Words of a question that name no part. Common practice.
#[rustfmt::skip]
pub(super) const FILLERS: &[&str] = &[
    "a", "all", "an", "and", "any", "are", "at", "attaching", "be", "best", "bicycle", "bike", "bolt",
    "bolted", "broken", "can", "change", "changing", "correct", "correctly", "could", "creak", "creaking",
    "cycle", "did", "direction", "do", "doe", "doing", "fasten", "fastener", "fastening", "figure", "fix",
    "fixing", "foot", "for", "from", "ft", "get", "go", "goe", "good", "grease", "greased", "greasing",
    "hard", "hardware", "have", "held", "help", "hold", "holding", "how", "i", "if", "in", "inch",
    "install", "installing", "into", "is", "it", "keep", "keeping", "lb", "lbf", "loose", "loosen",
    "make", "making", "many", "max", "maximum", "me", "meter", "metre", "min", "minimum", "mm",
    "mounting", "much", "must", "my", "need", "needed", "newton", "nm", "normal",
    "number", "of", "on", "or", "our", "please", "pls", "plz", "pound", "proper", "properly", "put",
    "rattle", "rattling", "re", "recommended", "removal", "remove", "replace", "replacement", "replacing",
    "required", "reuse", "reused", "reusing", "rusty", "safe", "screw", "securing", "seized", "setting",
    "should", "slip", "slipping", "snapped", "spec", "specification", "squeak", "squeaking", "standard",
    "stop", "stopping", "stuck", "swap", "swapping", "tell", "that", "the", "their", "them", "these",
    "they", "this", "those", "threadlock", "threadlocker", "tight", "tighten", "tightened", "tightening",
    "tightly", "tightness", "tite", "to", "too", "tool", "toque", "torq", "torqe", "torque", "torqued",
    "torquing", "torx", "turn", "typical", "uk", "undo", "undoing", "unscrew", "up", "us", "usa", "use",
    "usual", "value", "want", "way", "what", "when", "which", "will", "with", "wobble", "wobbling",
    "wobbly", "would", "you", "your",
];

/// Words that name no part in most questions, but one in some (the race of a headset, a banjo fitting):
/// dropped where nothing is found with them.
pub(super) const OFTEN_FILLERS: &[&str] = &["adjust", "fit", "fitted", "fitting", "race"];

/// Words that say where or on which kind of bicycle a part is: they bring the entries that have them to the front, and
/// need not be in an entry. Common practice.
#[rustfmt::skip]
pub(super) const PLACES: &[&str] = &[
    "1x", "2x", "3x", "audax", "bmx", "both", "children", "city", "commuter", "commuting", "cruiser",
    "cyclocross", "downhill", "drive", "dutch", "ebike", "enduro", "fatbike", "front", "fully", "gravel",
    "hardtail", "hybrid", "left", "lower", "modern", "mountain", "mtb", "new", "non", "other", "racing",
    "rear", "right", "road", "side", "tourer", "touring", "trail", "trekking", "upper", "xc",
];

/// A place that an entry's name has, against one that was asked for.
pub(super) const OPPOSITES: &[(&str, &str)] = &[("front", "rear"), ("rear", "front")];

/// Words that many parts share: alone they name none of them.
pub(super) const SHARED: &[&str] = &[
    "arm", "band", "bearing", "body", "brake", "cap", "carbon", "carrier", "centre", "clamp", "collar",
    "cone", "cover", "cup", "disc", "end", "fitting", "fixing", "fork", "frame", "guard", "head", "hex",
    "hub", "joint", "lever", "lock", "locknut", "mount", "mounting", "nut", "pin", "pinch", "plate", "plug",
    "post", "preload", "rim", "ring", "rod", "sensor", "shoe", "spline", "stand", "tube", "wheel",
];

/// What many parts are held by: of the parts that a question fits, no ring is meant by it.
pub(super) const BOLTS: &[&str] = &["bolt", "screw"];

/// Words in the name of what is screwed on and is no bolt.
pub(super) const RINGS: &[&str] = &["lockring", "ring"];

/// Words said in two ways, one word or two, singular: as said, as read. Spelling on both sides of the Atlantic, words
/// written together or apart, and two mistakes that are words of their own. Common practice.
pub(super) const SAME: &[(&str, &str)] = &[
    ("a head", "ahead"),
    ("adaptor", "adapter"),
    ("adjustment", "adjusting"),
    ("aero bar", "aerobar"),
    ("aheadset", "headset"),
    ("allen", "hex"),
    ("alloy", "aluminium"),
    ("aluminum", "aluminium"),
    ("axel", "axle"),
    ("back", "rear"),
    ("bar end", "barend"),
    ("bartape", "bar tape"),
    ("bb", "bottom bracket"),
    ("bidon", "bottle"),
    ("break", "brake"),
    ("calliper", "caliper"),
    ("center", "centre"),
    ("centerlock", "centre lock"),
    ("centrelock", "centre lock"),
    ("chain guard", "chainguard"),
    ("chain guide", "chainguide"),
    ("chain ring", "chainring"),
    ("chain wheel", "chainring"),
    ("chainset", "crank"),
    ("chainwheel", "chainring"),
    ("child bike", "children"),
    ("children bike", "children"),
    ("cog", "sprocket"),
    ("crank arm", "crank"),
    ("crank set", "crank"),
    ("crankarm", "crank"),
    ("crankset", "crank"),
    ("cx", "cyclocross"),
    ("derailer", "derailleur"),
    ("dh", "downhill"),
    ("disk", "disc"),
    ("drink bottle", "bottle"),
    ("drop post", "dropper post"),
    ("e bike", "ebike"),
    ("electric bike", "ebike"),
    ("face plate", "faceplate"),
    ("fat bike", "fatbike"),
    ("fender", "mudguard"),
    ("fixie", "fixed gear"),
    ("flatmount", "flat mount"),
    ("free hub", "freehub"),
    ("free wheel", "freewheel"),
    ("front cog", "chainring"),
    ("front sprocket", "chainring"),
    ("full sus", "fully"),
    ("full suspension", "fully"),
    ("grease nipple", "greasenipple"),
    ("grease port", "greaseport"),
    ("grip shift", "twist shifter"),
    ("gripshift", "twist shifter"),
    ("handle bar", "bar"),
    ("handlebar", "bar"),
    ("handlebar end", "barend"),
    ("head set", "headset"),
    ("headlamp", "front light"),
    ("headlight", "front light"),
    ("headset play", "headset"),
    ("hollow tech", "hollowtech"),
    ("hollowtech 2", "hollowtech"),
    ("hollowtech ii", "hollowtech"),
    ("hub gear", "gear hub"),
    ("hydro", "hydraulic"),
    ("innertube", "inner tube"),
    ("kick stand", "kickstand"),
    ("kid bike", "children"),
    ("lamp", "light"),
    ("left hand", "left"),
    ("lock nut", "locknut"),
    ("lock on", "lockon"),
    ("lock ring", "lockring"),
    ("mech", "derailleur"),
    ("mud guard", "mudguard"),
    ("peddle", "pedal"),
    ("pedelec", "ebike"),
    ("postmount", "post mount"),
    ("pre load", "preload"),
    ("press fit", "pressfit"),
    ("qr", "quick release"),
    ("quicklink", "quick link"),
    ("reaction arm", "torquearm"),
    ("right hand", "right"),
    ("seat pillar", "seatpost"),
    ("seat post", "seatpost"),
    ("starnut", "star nut"),
    ("steerer tube", "steerer"),
    ("steering tube", "steerer"),
    ("t 47", "t47"),
    ("tail light", "rear light"),
    ("taillight", "rear light"),
    ("thread lock", "threadlock"),
    ("thread locker", "threadlocker"),
    ("through", "thru"),
    ("thruaxle", "thru axle"),
    ("tilting", "tilt"),
    ("top cap", "topcap"),
    ("torque arm", "torquearm"),
    ("torque wrench", "torque"),
    ("tow bar", "trailer hitch"),
    ("towbar", "trailer hitch"),
    ("tt bar", "aerobar"),
    ("tyre", "tire"),
    ("v brake", "vbrake"),
    ("water bottle", "bottle"),
    ("wire", "cable"),
];

/// Numbers in words.
pub(super) const NUMBERS: &[(&str, &str)] = &[
    ("one", "1"),
    ("single", "1"),
    ("two", "2"),
    ("double", "2"),
    ("three", "3"),
    ("four", "4"),
    ("five", "5"),
    ("six", "6"),
    ("eight", "8"),
    ("nine", "9"),
    ("ten", "10"),
];
