//! Sources by CSV: what is read, what is refused and where, and that what is written comes back.

use document::{CurvePoint, FeedPoint, Origin, SourceId, SourceKind, SourceModel};
use exchange::{SourcesRead, sources_from_csv, sources_to_csv};
use proptest::prelude::*;

fn told(read: &SourcesRead) -> Vec<(u64, &str)> {
    read.diagnostics.iter().map(|p| (p.line, p.column.as_str())).collect()
}

fn names(read: &SourcesRead) -> Vec<&str> {
    read.sources.iter().map(|s| s.name.as_str()).collect()
}

#[test]
fn the_built_in_sources_come_back_from_their_table() {
    let library: Vec<SourceModel> = document::sources().iter().map(|s| SourceModel::clone(s)).collect();
    assert!(library.len() > 10);
    let read = sources_from_csv(&sources_to_csv(&library), "library.csv");
    assert_eq!(read, SourcesRead { sources: library, diagnostics: Vec::new() });
}

#[test]
fn an_ejector_with_its_feeds_in_other_units() {
    let table = "\u{feff}source\tkind\trated feed pressure (bar)\tvacuum (mbar)\tflow (cfm)\tfeed pressure (psi)\tflow share (%)\tlevel share\tair used (NL/min)\tbore\tair saving\tvolume\tmass (kg)\tdate\n\
        Own\tEjector\t5\t0\t2\t58,0151\t90\t0,8\t70\t\tYes\t0.006 L\t0,2\t2026-01-31\n\
        Own\t\t\t850\t0\t5 bar\t100\t1\t85\t\t\t\t\t\n\
        \t\t\t\t\t87,0226\t100\t95 %\t100\t\t\t\t\t\n";
    let read = sources_from_csv(table, "own.tsv");
    assert_eq!(read.diagnostics, []);
    let [own] = read.sources.as_slice() else { panic!("{read:?}") };
    assert_eq!(
        (own.name.as_str(), own.id.to_string(), own.kind),
        ("Own", "own".to_owned(), SourceKind::Ejector)
    );
    let near = |a: f64, b: f64| (a - b).abs() < 1e-3;
    assert!(own.curve.len() == 2 && near(own.curve[0].flow_nl_min, 56.634) && own.curve[1].level_kpa == 85.0);
    assert!(
        near(own.feed[0].feed_kpa, 400.0)
            && own.feed[1].feed_kpa == 500.0
            && near(own.feed[2].feed_kpa, 600.0)
    );
    assert!(
        own.feed[0].flow_share == 0.9 && own.feed[0].level_share == 0.8 && own.feed[2].level_share == 0.95
    );
    assert!(own.air_saving && own.straight_bore_mm.is_none() && own.on == "2026-01-31");
    assert_eq!((own.rated_feed_kpa, own.mass_g, own.volume_ml), (500.0, 200.0, 6.0));
    assert_eq!(own.figures, Origin::Stated);
}

#[test]
fn every_mistake_has_its_line_and_column_and_the_rest_goes_on() {
    let table = "name,kind,power [W],level [kPa],flow [L/min],price\n\
        Good,pump,370,0,170,9\n\
        Rises,pump,370,0,170,9\n\
        ,,,40,171,9\n\
        ,,,88,0,9\n\
        Good,,,88,0,9\n\
        Unsorted,pump,370,0,170,9\n\
        ,,,40,90,9\n\
        ,,,40,0,9\n\
        Letters,turbine,much,0,170,9\n\
        ,,,forty,0,9\n\
        Half,pump,370,0,,9\n\
        ,,,88,0,9,9\n\
        Twice,pump,370,0,170,9\n\
        ,pump,380,88,0,9\n\
        Late,pump,370,5,170,9\n\
        ,,,88,0,9\n\
        Open,pump,370,0,170,9\n\
        ,,,88,3,9\n\
        Unkind,,370,0,170,9\n\
        ,,,88,0,9\n\
        Powerless,pump,,0,170,9\n\
        ,,,88,0,9\n";
    let read = sources_from_csv(table, "t.csv");
    assert_eq!(names(&read), ["Good"]);
    assert_eq!(
        told(&read),
        [
            (1, "price"),
            (4, "flow [L/min]"),
            (9, "level [kPa]"),
            (10, "kind"),
            (10, "power [W]"),
            (11, "level [kPa]"),
            (12, "flow [L/min]"),
            (13, ""),
            (15, "power [W]"),
            (16, ""),
            (18, ""),
            (20, "kind"),
            (22, ""),
        ],
        "{:#?}",
        read.diagnostics
    );
    let says: Vec<String> = read.diagnostics.iter().map(|p| p.says.to_string()).collect();
    assert_eq!(
        says[1],
        "the curve of Rises rises from 170 L/min to 171 L/min at 40 kPa; check the point: a source draws less the deeper the level"
    );
    assert_eq!(says[3], "\"turbine\" is none of ejector, pump and blower");
    assert_eq!(says[6], "flow is empty; a point of a curve needs level and flow");
    assert!(says[9].contains("begins at 5 kPa; add its flow at level 0"), "{}", says[9]);
    assert!(says[10].contains("add the level at which it draws nothing"), "{}", says[10]);
}

#[test]
fn ejectors_need_their_feeds_and_motors_have_none() {
    let head = "name;kind;rated feed [kPa];power [W];level [kPa];flow [L/min];feed [kPa];flow share;level share;air [L/min]\n";
    let of = |rows: &str| sources_from_csv(&format!("{head}{rows}"), "t.csv");
    let read = of("A;ejector;500;;0;60;;;;\n;;;;85;0;;;;\n");
    assert!(read.sources.is_empty() && read.diagnostics[0].says.to_string().contains("has no feed pressure"));
    let read = of("A;ejector;;;0;60;500;1;1;85\n;;;;85;0;;;;\n");
    assert_eq!(told(&read), [(2, "rated feed [kPa]")]);
    let read = of("A;ejector;500;;0;60;500;1;;85\n;;;;85;0;400;1;1;85\n");
    assert_eq!(told(&read), [(2, "level share")], "{read:?}");
    let read = of("A;ejector;500;;0;60;500;1;1;85\n;;;;85;0;400;1;1;85\n");
    assert_eq!(told(&read), [(3, "feed [kPa]")], "{read:?}");
    let read = of("A;ejector;-5 bar;;0;60;500;1;1;85\n;;;;85;0;;;;\n");
    assert_eq!(told(&read), [(2, "rated feed [kPa]")], "{read:?}");
    let read = of("A;pump;;370;0;60;500;1;1;85\n;;;;85;0;;;;\n");
    assert!(
        read.sources.is_empty()
            && read.diagnostics[0].says.to_string().contains("is a pump and has a table of feed")
    );
}

#[test]
fn rows_of_a_source_may_stand_apart_and_ids_tell_equal_names_apart() {
    let table = "id,name,kind,power [W],level [kPa],flow [L/min]\n\
        a,Pump,pump,370,0,170\n\
        b,Pump,pump,900,0,420\n\
        a,,,,88,0\n\
        b,Pump,,,88,0\n\
        a,Other,,,89,0\n";
    let read = sources_from_csv(table, "t.csv");
    assert_eq!(read.sources.len(), 1);
    assert_eq!((read.sources[0].id.to_string(), read.sources[0].curve.len()), ("b".to_owned(), 2));
    assert_eq!(told(&read), [(6, "id")]);
    // Names that come to the same id.
    let table = "name,kind,power [W],level [kPa],flow [L/min]\n\
        Pump 1,pump,370,0,170\n,,,88,0\nPump-1,pump,900,0,420\n,,,88,0\n";
    let read = sources_from_csv(table, "t.csv");
    assert_eq!((read.sources.len(), told(&read)), (1, vec![(4, "name")]));
}

#[test]
fn a_bare_curve_is_called_as_its_table() {
    let read = sources_from_csv("kind;power;level;flow\nblower;850;0;1500\n;;20;0\n", "Own blower.csv");
    assert_eq!((names(&read), told(&read)), (vec!["Own blower"], vec![]));
    let read = sources_from_csv("kind;power;level;flow\nblower;850;0;1500\n;;20;0\n", "");
    assert_eq!((names(&read), told(&read)), (vec![], vec![(2, "name"), (3, "name")]));
}

#[test]
fn what_is_no_table_of_sources_is_said_in_one_sentence() {
    let one = |text: &str| {
        let read = sources_from_csv(text, "t.csv");
        assert!(read.sources.is_empty() && read.diagnostics.len() == 1, "{read:?}");
        read.diagnostics[0].says.to_string()
    };
    assert_eq!(one(""), "the table is empty; its first row names the columns");
    assert!(one("name,kind,level,flow\n").starts_with("the table has no source below its header"));
    assert_eq!(
        one("name,kind\nA,pump\n"),
        "needed columns are missing: level [kPa], flow [L/min]; add them, with their units"
    );
}

fn ascending(count: usize, most: f64) -> impl Strategy<Value = Vec<f64>> {
    // Parts of a span, none of them nothing, so that each is more than the one before.
    prop::collection::vec(0.01f64..1.0, count).prop_map(move |steps| {
        let sum: f64 = steps.iter().sum();
        let mut at = 0.0;
        steps
            .iter()
            .map(|step| {
                at += step / sum * most;
                at
            })
            .collect()
    })
}

prop_compose! {
    fn curve()(count in 1usize..8)(
        levels in ascending(count, 95.0),
        flows in ascending(count, 900.0),
    ) -> Vec<CurvePoint> {
        let falling = flows.iter().rev().copied().chain([0.0]);
        let rising = std::iter::once(0.0).chain(levels);
        rising.zip(falling).map(|(level_kpa, flow_nl_min)| CurvePoint { level_kpa, flow_nl_min }).collect()
    }
}

prop_compose! {
    fn feeds()(count in 1usize..5)(
        pressures in ascending(count, 700.0),
        figures in prop::collection::vec((0.01f64..2.0, 0.01f64..2.0, 1e-3f64..1e4), count),
        rated in 0..count,
    ) -> (Vec<FeedPoint>, f64) {
        let points: Vec<FeedPoint> = pressures.iter().zip(figures).map(|(&feed_kpa, (flow_share, level_share, air_nl_min))| {
            FeedPoint { feed_kpa, flow_share, level_share, air_nl_min }
        }).collect();
        (points, pressures[rated])
    }
}

prop_compose! {
    fn source()(
        name in "[A-Za-zäß0-9]([A-Za-z0-9 ,;\"'\n\t.#=ü/-]{0,20}[A-Za-zé0-9])?",
        kind in prop::sample::select(vec![SourceKind::Ejector, SourceKind::Pump, SourceKind::Blower]),
        curve in curve(),
        (feed, rated) in feeds(),
        power in 1.0f64..1e5,
        bore in prop::option::of(0.1f64..500.0),
        air_saving in any::<bool>(),
        volume_ml in 0.0f64..1e6,
        mass_g in prop_oneof![Just(0.0), 1e-12f64..1e-6, 1.0f64..1e7],
        figures in prop::sample::select(vec![Origin::Measured, Origin::Stated, Origin::Assumed]),
        on in prop::sample::select(vec!["", "2026-01-31"]),
    ) -> SourceModel {
        let ejector = kind == SourceKind::Ejector;
        SourceModel {
            id: SourceId::from(""),
            name,
            kind,
            curve,
            curve_flow: document::CurveFlow::Anr,
            feed: if ejector { feed } else { Vec::new() },
            rated_feed_kpa: if ejector { rated } else { 0.0 },
            power_w: if ejector { 0.0 } else { power },
            straight_bore_mm: bore,
            air_saving,
            volume_ml,
            mass_g,
            figures,
            on: on.to_owned(),
        }
    }
}

/// The first built-in source of each kind.
fn one_of_each_kind() -> Vec<document::SourceModel> {
    let mut found: Vec<document::SourceModel> = Vec::new();
    for source in document::sources() {
        if found.iter().all(|s| s.kind != source.kind) {
            found.push((**source).clone());
        }
    }
    assert!(found.len() >= 3);
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// What is written comes back bit for bit, whatever the names and however odd the figures.
    #[test]
    fn sources_come_back_from_their_table(mut sources in prop::collection::vec(source(), 0..5)) {
        for (i, source) in sources.iter_mut().enumerate() {
            source.id = SourceId::from(format!("s-{i}").as_str());
            prop_assert_eq!(source.problems(), vec![]);
        }
        let table = sources_to_csv(&sources);
        let read = sources_from_csv(&table, "");
        if !sources.is_empty() {
            prop_assert_eq!(&read.diagnostics, &vec![], "{}", table);
        }
        prop_assert_eq!(read.sources, sources);
    }

    /// A table with a few characters changed gives sources without a mistake and mistakes with a line, never a panic.
    #[test]
    fn damaged_tables_never_panic(at in any::<prop::sample::Index>(), text in "\\PC{0,8}") {
        let mut table = sources_to_csv(&one_of_each_kind());
        let at = at.index(table.len());
        if table.is_char_boundary(at) {
            table.insert_str(at, &text);
        }
        let read = sources_from_csv(&table, "damaged.csv");
        for source in &read.sources {
            prop_assert_eq!(source.problems(), vec![]);
        }
        prop_assert!(read.diagnostics.iter().all(|p| p.line > 0 && !p.says.is_empty()));
        prop_assert!(read.sources.len() == one_of_each_kind().len() || !read.diagnostics.is_empty());
    }
}
