//! Fields of a project besides parts, layouts, motions, models and circuits.

use super::{
    A_DAY, DAY, Field, Measure as M, RUBBER, choice, length, level, number, other, place, text, time,
};
use units::Quantity as Q;

const fn spread(key: &'static str, name: &'static str) -> Field {
    number(key, name, M::Of(Q::Share), (0.0, 0.99), "a value that may be off by all of itself says nothing")
        .helped(
            "Each way, as a share of the value; the resulting range of the factor is shown beside it \
            (common practice, no source)",
        )
}
const fn share(key: &'static str, name: &'static str, usual: &'static str) -> Field {
    number(key, name, M::Of(Q::Share), (1e-4, 10.0), usual)
}

/// In the order of the file.
pub(super) const FIELDS: &[Field] = &[
    number(
        "site.altitude_m",
        "altitude",
        M::Of(Q::Altitude),
        (-450.0, 6000.0),
        "from the Dead Sea to the highest road",
    )
    .helped("Thinner air holds less: the standard atmosphere of ISO 2533 lowers every vacuum level")
    .usual("sea level; a higher site gives less level; enter your own"),
    number(
        "site.temperature_c",
        "temperature",
        M::Of(Q::Temperature),
        (-60.0, 200.0),
        "from the coldest site to a hot press",
    )
    .helped(
        "Sets the viscosity of the air under a long cup on a leaking part; also guides the choice of lip \
        material",
    )
    .usual("ISO 8778 and ISO 6358 state flows at 20 °C"),
    number(
        "site.payload_kg",
        "payload",
        M::Of(Q::Mass),
        (1e-3, 1e5),
        "what it may carry at its flange, or leave it empty",
    )
    .helped("What the robot may carry at its flange"),
    // What is asked for when layouts are proposed.
    number("question.lost_factor", "factor with a cup lost", M::Of(Q::Ratio), (0.1, 100.0), "1 keeps every remaining lip sealed")
        .helped("Lowest factor of the remaining cups when a cup or a zone is lost")
        .usual("at 1 no remaining lip opens, so no other cup fails with it"),
    length("question.step_mm", "position step", (0.1, 1e3), "a larger step leaves no positions on most parts")
        .helped("Positions are multiples of this, so that holes have round dimensions")
        .usual("holes have round dimensions (common practice, no source)"),
    length("question.spacing_mm", "gap between lips", (0.0, 1e4), "lips {} apart are not near").why_at(&[(10.0, Q::Altitude)])
        .helped("Smallest gap between the lips of two cups; fittings may need more"),
    // Limits of the findings.
    length("rules.gap_watch_mm", "gap warning limit", (0.0, 1e4), "lips {} apart are not near").why_at(&[(10.0, Q::Altitude)])
        .helped("Between the lips of two cups")
        .usual("lips swell under load"),
    number("rules.factor_watch", "factor warning limit", M::Of(Q::Ratio), (1.0, 100.0), "times the required one; 1.15 is usual")
        .helped("Times the required factor")
        .usual("a smaller margin needs a second look"),
    share("rules.centroid_offset_share", "centroid offset warning limit", "10 % is usual")
        .helped("Share of the cups' spread")
        .usual("a tenth of the spread shifts loads by about a tenth"),
    number("rules.most_over_mean", "peak-to-mean load warning limit", M::Of(Q::Ratio), (1.0, 1000.0), "1.5 is usual")
        .helped("Most loaded cup over the mean")
        .usual("a cup that takes half as much again is the first to lose its seal"),
    number("rules.slide_share", "share of friction used", M::Of(Q::Share), (0.01, 1.0), "90 % is usual")
        .helped(
            "A thin ring that slides and twists at once reaches only 0.90 of the usual ellipse, a long one \
            0.87, which the program reduces by itself (Howe & Cutkosky 1996)",
        )
        .usual("a thin ring's limit lies inside the friction ellipse by up to 2√2/π = 0.900"),
    number("rules.favourable_weight", "weight counted where it helps", M::Of(Q::Share), (0.01, 1.0), "90 % is usual")
        .helped(
            "Weight that presses the part on is not multiplied with the motion; this share of it is counted \
            on (the principle of EN 1990, EQU; 0.9 from memory)",
        )
        .usual("favourable permanent actions count at 0.9 (EN 1990, EQU; from memory)"),
    length("rules.sag_watch_mm", "sag warning limit", (1e-3, 1e4), "a sheet that sags by {} is not held").why_at(&[(10.0, Q::Altitude)])
        .helped("For a bending sheet: largest distance from the plane of its lips in any motion")
        .usual("a sheet that sags further catches on what it is set down in (common practice, no source)"),
    length("rules.ring_limit_mm", "ringing limit at rest", (1e-3, 1e3), "a sheet that swings by {} is not at rest").why_at(&[(1000.0, Q::Length)])
        .helped("Either way: a bending sheet is set down once it rings no further than this")
        .usual("a stack, a die or a nest accepts a sheet that lies within this (common practice, no source)"),
    number("rules.payload_watch", "payload warning limit", M::Of(Q::Share), (0.01, 1.0), "85 % is usual")
        .helped("Tool and part as a share of the payload")
        .usual("a robot near its payload is slower and less accurate"),
    spread("rules.friction_spread", "spread of assumed friction")
        .helped(
            "How far an assumed friction may be off, either way, as a share of it: it widens the factor to a \
            range. 30 % to begin with: published values for one rubber on one surface differ that much with \
            load, wear, dust, film and damp (common practice, no source)",
        )
        .usual("friction of rubber on one surface varies this much from day to day"),
    spread("rules.stiffness_spread", "spread of assumed stiffness")
        .usual("moulded rubber of one hardness varies this much"),
    spread("rules.lip_spread", "spread of assumed lip values").usual("the contact line of a lip moves this \
        much under load"),
    share("rules.supply_margin", "flow-to-spare warning limit", "25 % is usual")
        .helped("Flow that a source must have to spare, as a share of what it draws")
        .usual("wear and a used filter cost a quarter of the flow"),
    share("rules.level_spread", "level spread warning limit", "5 % is usual")
        .helped("Spread of the levels at a circuit's cups, as a share")
        .usual("what a gauge can resolve"),
    share("rules.element_loss", "element loss warning limit", "10 % is usual")
        .helped("Of one hose, fitting or valve, as a share of the level")
        .usual("what loses a tenth of the level is worth a larger bore"),
    // Cycle.
    number("cycle.picks_per_hour", "number of cycles per hour", M::Plain, (1e-3, 1e5), "no tool picks 28 times a second")
        .short("cycles per hour")
        .helped("While it runs")
        .usual("one cycle in six seconds; affects cost only"),
    time("cycle.hold_s", "time held", (0.0, DAY), A_DAY)
        .helped("From the first level at the cups until release: the source runs that long unless air saving stops it")
        .usual("a third of that cycle; affects cost only"),
    number(
        "cycle.hours_per_year",
        "working time per year",
        M::Fixed("h"),
        (1e-3, 8784.0),
        "a year has up to 8784; 4000 is two shifts",
    )
    .short("hours per year")
    .usual("two shifts; affects cost only"),
    number("cycle.air_price_per_m3", "price of air", M::Of(Q::PerAirVolume), (0.0, 1e9), "a price of air")
        .helped("Of compressed air, all costs included")
        .usual("the compressor's electricity at the values below, and its maintenance; affects cost only"),
    number("cycle.energy_price_per_kwh", "price of energy", M::Plain, (0.0, 1e9), "a price of a kWh")
        .helped("Per kWh, for pumps and blowers")
        .usual("an industrial tariff; affects cost only"),
    number("cycle.compressor_kwh_per_m3", "compressor energy", M::Of(Q::AirEnergy), (1e-4, 100.0), "about 0.1 is usual")
        .helped("What the compressor uses for its air; about {} at {}")
        .help_at(&[(0.11, Q::AirEnergy), (700.0, Q::FeedPressure)])
        .usual("isentropic work to 7 bar over an efficiency of 0.7: 0.0789 / 0.7"),
    text("cycle.currency", "currency").helped("Only a name: prices are not converted"),
    // Title block.
    text("sheet.title", "title"),
    text("sheet.owner", "legal owner"),
    text("sheet.number", "identification number"),
    text("sheet.revision", "revision"),
    text("sheet.created_by", "created by"),
    text("sheet.approved_by", "approved by"),
    text("sheet.date", "date of issue"),
    text("sheet.document_type", "document type"),
    choice("sheet.tolerances", "general tolerance").helped(
        "Printed once on sheet and drawing: one value for positions of cups and holes, or a class of ISO 2768",
    ),
    length("sheet.position_tolerance_mm", "tolerance of positions", (0.001, 50.0), "beyond that no place is kept")
        .helped("Each way, of cups and holes; applies if the general tolerance is one value")
        .usual("easily kept by drilled plates and slotted rails (common practice, no source)"),
    text("sheet.revisions.index", "index"),
    text("sheet.revisions.date", "date"),
    text("sheet.revisions.by", "by"),
    text("sheet.revisions.what", "what changed"),
    text("acceptance.reason", "reason"),
    text("acceptance.by", "by"),
    text("acceptance.on", "date"),
    // Review.
    place("remark.pin.Place", "place"),
    // Trial.
    other("trial.value", "value", M::Plain),
    choice("trial.stage", "stage"),
    level("trial.level", "level at the cup", 1e-3),
    time("trial.time", "time to the level", (1e-3, DAY), A_DAY),
    level("trial.level_kpa", "level to reach", 1e-3),
    level("trial.drop", "level lost", 0.0),
    level("trial.from_kpa", "level at the start", 1e-3),
    time("trial.over_s", "time of the leak-down", (1e-3, DAY), A_DAY),
    number("trial.friction", "friction of the slide test", M::Of(Q::Ratio), (1e-3, 2.0), RUBBER),
    other("trial.points", "points", M::Plain),
    time("trial.points.time", "time", (0.0, DAY), A_DAY).each(),
    level("trial.points.level", "level", 0.0).each(),
];
