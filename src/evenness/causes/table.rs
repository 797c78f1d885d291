//! The table: for each sign what it fits with in the trade's words, what to try, and who says so.

use super::CauseSource::{CommonPractice, Published};
use super::{Cause, CauseSource, Sign};

const NAVY: CauseSource = Published("US Navy, NAVEDTRA 14209, 1993, table 10-1");

/// The table, the likeliest line of a sign first.
pub(super) const TABLE: [Cause; 22] = [
    line(
        Sign::LongEdgesDenser,
        "surge: solution rushes along the edges, from too vigorous or too regular agitation",
        "agitate more gently, and turn as well as invert",
        CommonPractice,
    ),
    line(
        Sign::LongEdgesDenser,
        "film bowed in a tray, its middle out of the solution",
        "keep the film under, or use a reel",
        Published("US Army, subcourse SS0509, lesson 3"),
    ),
    line(
        Sign::OneEdgeDenser,
        "surge past one edge: the reel always moves the same way",
        "change the direction of agitation each time",
        CommonPractice,
    ),
    line(
        Sign::LongEdgesThinner,
        "solution is not renewed at the edges: film tight in its spiral, or too little agitation",
        "agitate more, in fresh directions",
        CommonPractice,
    ),
    line(
        Sign::AllEdgesThinner,
        "not development but exposure: lens or lamp falls off towards the corners",
        "turn the camera about for half of the frames; what turns with it is exposure",
        CommonPractice,
    ),
    line(
        Sign::UpperThinner,
        "too little solution: the upper edge stood out of it, or in foam",
        "fill the tank until the film is covered",
        Published("Photography: Theory and Practice, on failures in negatives"),
    ),
    line(
        Sign::UpperThinner,
        "stratified bath: stock or replenisher sank and was not stirred in",
        "stir before use, bottom to top",
        CommonPractice,
    ),
    line(
        Sign::LowerThinner,
        "bromide streaks: used developer sinks along the film, from too little agitation",
        "agitate more often, above all in long or dilute development",
        CommonPractice,
    ),
    line(
        Sign::LowerThinner,
        "sludge or cold solution at the bottom of the tank",
        "filter the bath, bring all of it to temperature",
        CommonPractice,
    ),
    line(
        Sign::Along,
        "slow pouring in or out: one end had developer longer",
        "fill and empty faster, or lower the reel into a full tank",
        CommonPractice,
    ),
    line(
        Sign::Along,
        "not development but exposure: a lamp or a shutter that is uneven along the frame",
        "turn the camera about for half of the frames; what turns with it is exposure",
        CommonPractice,
    ),
    line(
        Sign::Sides,
        "exposure uneven along the frame (shutter, lamp), or solution held back where film lies on film",
        "turn the camera about; see that the film lies free in its spiral",
        CommonPractice,
    ),
    line(
        Sign::Perforations,
        "flow through the perforations: jets from too vigorous agitation",
        "agitate more gently and less regularly",
        CommonPractice,
    ),
    line(
        Sign::LightSpots,
        "air bells: bubbles kept the developer off",
        "knock the tank after filling and after each agitation; wet the film before",
        NAVY,
    ),
    line(
        Sign::DenseSpots,
        "splashes of developer before development, or grains of it undissolved",
        "keep splashes off dry film, dissolve and filter",
        NAVY,
    ),
    line(
        Sign::SamePlace,
        "not development: dust or a mark in the light's path, on lamp, lens or glass",
        "clean them, expose again",
        CommonPractice,
    ),
    line(
        Sign::Scatter,
        "mottle: streaks and patches from too little agitation",
        "agitate at once and steadily in the first half minute",
        NAVY,
    ),
    line(
        Sign::Scatter,
        "exhausted bath, or a time too short to even out",
        "replenish or renew; choose a dilution that needs five minutes or more",
        CommonPractice,
    ),
    line(
        Sign::Scatter,
        "not the film: a densitometer aperture so small that grain scatters the readings",
        "read places twice; read with a larger aperture",
        CommonPractice,
    ),
    line(
        Sign::Field,
        "irregular agitation, or a bath that was not mixed",
        "stir the bath, agitate by the clock",
        CommonPractice,
    ),
    line(
        Sign::FramesDiffer,
        "place in the reel: film touched film or reel, or one end of the roll stood otherwise in the bath",
        "see which frames lay at the core and which outside",
        CommonPractice,
    ),
    line(
        Sign::FramesDiffer,
        "not development but exposure: the light or the shutter changed between frames",
        "expose one frame several times over",
        CommonPractice,
    ),
];

const fn line(sign: Sign, cause: &'static str, remedy: &'static str, source: CauseSource) -> Cause {
    Cause { sign, cause, remedy, source }
}
