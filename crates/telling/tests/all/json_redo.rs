//! Times and cost of a circuit redone from the JSON object alone, by a small program of its own: nodes with their air, ways by
//! the formulas that the object names, backward Euler with halved steps. It shares nothing with the engine.

use crate::common::*;
use analysis::Analyst;

use serde_json::Value;
use telling::to_json;

const GAS: f64 = 287.052_87;
/// kg/s in a L/min ANR.
const NL_MIN: f64 = 1.185e-3 / 60.0;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

struct Redo<'a> {
    network: &'a Value,
    names: Vec<&'a str>,
    /// m³ at each node, hoses included.
    volumes: Vec<f64>,
    outside: f64,
    rt: f64,
    kelvin: f64,
    viscosity: f64,
}

impl<'a> Redo<'a> {
    fn new(network: &'a Value) -> Self {
        let names: Vec<&str> =
            list(network, "nodes").iter().map(|node| node["name"].as_str().expect("a name")).collect();
        let mut volumes: Vec<f64> =
            list(network, "nodes").iter().map(|node| number(&node["volume_ml"]) * 1e-6).collect();
        let kelvin = number(&network["temperature_c"]) + 273.15;
        let place = |value: &Value| names.iter().position(|name| value == name).expect("a node");
        for way in list(network, "ways").iter().filter(|way| way["kind"] == "hose") {
            let half = std::f64::consts::PI / 8.0
                * number(&way["bore_mm"]).powi(2)
                * number(&way["length_mm"])
                * 1e-9;
            volumes[place(&way["from"])] += half;
            volumes[place(&way["to"])] += half;
        }
        Self {
            network,
            volumes: volumes.into_iter().map(|volume| volume.max(1e-9)).collect(),
            names,
            outside: number(&network["atmosphere_kpa"]) * 1e3,
            rt: GAS * kelvin,
            kelvin,
            viscosity: 1.458e-6 * kelvin.powf(1.5) / (kelvin + 110.4),
        }
    }

    fn node(&self, value: &Value) -> usize {
        self.names.iter().position(|name| value == name).expect("a node")
    }

    /// Air at every node, kg.
    fn masses(&self, p: &[f64]) -> Vec<f64> {
        let mut masses: Vec<f64> =
            p.iter().zip(&self.volumes).map(|(p, volume)| p * volume / self.rt).collect();
        for cup in list(self.network, "cups") {
            let at = self.node(&cup["node"]);
            let (free, held) = (number(&cup["free_ml"]), number(&cup["held_ml"]));
            let u = ((self.outside - p[at]) / (number(&cup["down_at_kpa"]) * 1e3)).clamp(0.0, 1.0);
            masses[at] += p[at] * (held + (free - held) * (1.0 - u).powi(2)) * 1e-6 / self.rt;
        }
        masses
    }

    /// ISO 6358 from one pressure to a lower one, kg/s.
    fn through(&self, c: f64, b: f64, p1: f64, p2: f64) -> f64 {
        let choked = c * 1e-8 * 1.185 * p1 * (293.15 / self.kelvin).sqrt();
        let ratio = p2 / p1;
        if ratio <= b { choked } else { choked * (1.0 - ((ratio - b) / (1.0 - b)).powi(2)).max(0.0).sqrt() }
    }

    /// Churchill's friction factor (1977).
    fn friction(&self, re: f64, rough: f64) -> f64 {
        let a = (-2.457 * ((7.0 / re).powf(0.9) + 0.27 * rough).ln()).powi(16);
        let b = (37_530.0 / re).powi(16);
        8.0 * ((8.0 / re).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
    }

    /// Isothermal flow with friction and acceleration from one pressure to a lower one, kg/s: p1² - p2² at that flow by halving.
    fn hose(&self, way: &Value, p1: f64, p2: f64) -> f64 {
        assert!(way["coil_length_mm"].is_null(), "no coil in this demo");
        let (length, bore) = (number(&way["length_mm"]) * 1e-3, number(&way["bore_mm"]) * 1e-3);
        let rough = number(&way["roughness_mm"]) * 1e-3 / bore;
        let head = |m: f64, bore: f64| (4.0 * m / (std::f64::consts::PI * bore * bore)).powi(2) * self.rt;
        let re = |m: f64, bore: f64| 4.0 * m / (std::f64::consts::PI * bore * self.viscosity);
        let needs = |m: f64| {
            let mut sum = head(m, bore) * self.friction(re(m, bore), rough) * length / bore;
            for loss in list(way, "losses") {
                let own = number(&loss["bore_mm"]) * 1e-3;
                sum += head(m, own) * (number(&loss["k"]) + number(&loss["k_low"]) / re(m, own));
            }
            let own = list(way, "losses").iter().map(|loss| number(&loss["bore_mm"]) * 1e-3);
            let narrowest = own.fold(bore, f64::min);
            if way["kinetic"] == true { sum + head(m, narrowest) * 2.0 * (p1 / p2).ln() } else { sum }
        };
        let (mut low, mut high) = (0.0, 0.1);
        for _ in 0..45 {
            let middle = 0.5 * (low + high);
            if needs(middle) < p1 * p1 - p2 * p2 { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }

    /// Air gained by every node, kg/s.
    fn gains(&self, p: &[f64]) -> Vec<f64> {
        let mut gains = vec![0.0; p.len()];
        for way in list(self.network, "ways") {
            let (from, to) = (self.node(&way["from"]), self.node(&way["to"]));
            let (high, low, sign) =
                if p[from] >= p[to] { (p[from], p[to], 1.0) } else { (p[to], p[from], -1.0) };
            let m = match way["kind"].as_str() {
                Some("hose") => self.hose(way, high, low),
                Some("check valve") if sign < 0.0 => 0.0,
                _ => self.through(number(&way["c_dm3_s_bar"]), number(&way["b"]), high, low),
            };
            gains[from] -= sign * m;
            gains[to] += sign * m;
        }
        for cup in list(self.network, "cups") {
            let at = self.node(&cup["node"]);
            let squares = self.outside.powi(2) - p[at].powi(2);
            for leak in list(cup, "leaks") {
                gains[at] += if leak["gap_mm"].is_null() {
                    number(&leak["permeance_um_pa_s"]) * 1e-6 * number(&leak["area_mm2"]) * 1e-6 * squares
                        / (2.0 * self.rt)
                } else {
                    // Creeping flow through a slit: so fine a gap has nothing else.
                    let gap = number(&leak["gap_mm"]) * 1e-3;
                    number(&leak["length_mm"]) * gap.powi(3) * squares
                        / (24.0 * self.viscosity * number(&leak["lip_width_mm"]) * self.rt)
                };
            }
        }
        for source in list(self.network, "sources") {
            let at = self.node(&source["node"]);
            let share = (self.outside - p[at]) / (number(&source["deepest_kpa"]) * 1e3);
            let shape: Vec<(f64, f64)> =
                list(source, "shape").iter().map(|point| (number(&point[0]), number(&point[1]))).collect();
            let after = shape.iter().position(|point| point.0 >= share);
            let drawn = match after {
                None => 0.0,
                Some(0) => shape[0].1,
                Some(after) => {
                    let ((x0, y0), (x1, y1)) = (shape[after - 1], shape[after]);
                    y0 + (y1 - y0) * (share - x0) / (x1 - x0)
                }
            };
            gains[at] -= drawn * number(&source["free_flow_nl_min"]) * NL_MIN;
        }
        gains
    }

    /// One step of backward Euler by Newton's method with differences.
    fn step(&self, p: &[f64], length: f64) -> Vec<f64> {
        let (n, before) = (p.len(), self.masses(p));
        let misses = |q: &[f64]| -> Vec<f64> {
            let (after, gains) = (self.masses(q), self.gains(q));
            (0..n).map(|i| (after[i] - before[i]) / length - gains[i]).collect()
        };
        let mut q = p.to_vec();
        let mut slopes: Vec<Vec<f64>> = Vec::new();
        for tried in 0..60 {
            let miss = misses(&q);
            // The same slopes for some tries: they are dear.
            if tried % 3 == 0 {
                slopes = vec![vec![0.0; n + 1]; n];
                for column in 0..n {
                    let mut moved = q.clone();
                    moved[column] -= 0.05;
                    for (row, other) in misses(&moved).into_iter().enumerate() {
                        slopes[row][column] = (other - miss[row]) / -0.05;
                    }
                }
            }
            let mut matrix = slopes.clone();
            (0..n).for_each(|row| matrix[row][n] = -miss[row]);
            let change = solved(matrix);
            q.iter_mut()
                .zip(&change)
                .for_each(|(q, change)| *q = (*q + change.clamp(-0.3 * *q, 0.3 * *q)).min(self.outside));
            if change.iter().all(|change| change.abs() < 0.02) {
                break;
            }
        }
        q
    }

    /// When each cup has come to a level, s, in steps of a length.
    fn times(&self, levels: &[f64], length: f64) -> Vec<f64> {
        let nodes: Vec<usize> =
            list(self.network, "cups").iter().map(|cup| self.node(&cup["node"])).collect();
        let mut times = vec![f64::NAN; nodes.len()];
        let (mut p, mut time) = (vec![self.outside; self.volumes.len()], 0.0);
        while times.iter().any(|time| time.is_nan()) && time < 5.0 {
            let next = self.step(&p, length);
            for (cup, &node) in nodes.iter().enumerate() {
                let wanted = self.outside - levels[cup] * 1e3;
                if times[cup].is_nan() && next[node] <= wanted {
                    times[cup] = time + length * (p[node] - wanted) / (p[node] - next[node]);
                }
            }
            (p, time) = (next, time + length);
        }
        times
    }
}

/// Gauss with pivots.
fn solved(mut matrix: Vec<Vec<f64>>) -> Vec<f64> {
    let n = matrix.len();
    for column in 0..n {
        let pivot = (column..n).max_by(|a, b| matrix[*a][column].abs().total_cmp(&matrix[*b][column].abs()));
        matrix.swap(column, pivot.expect("a row"));
        for row in 0..n {
            if row != column {
                let share = matrix[row][column] / matrix[column][column];
                let above = matrix[column].clone();
                for (value, above) in matrix[row].iter_mut().zip(above).skip(column) {
                    *value -= share * above;
                }
            }
        }
    }
    (0..n).map(|row| matrix[row][n] / matrix[row][row]).collect()
}

/// The moulded tray: an ejector, a filter, a manifold with hoses, and cups whose lips leak a little.
#[test]
fn times_and_cost_of_a_demo_can_be_redone_from_the_object_alone() {
    let tray =
        demos().into_iter().find(|project| project.name.starts_with("Moulded tray")).expect("the demo");
    let report = Analyst::new().check_whole(&tray, layout(&tray));
    let object: Value = serde_json::from_str(&to_json("tray.ron", &tray, &[report])).expect("JSON");
    let vacuum = &object["layouts"][0]["vacuum"];
    let (circuit, cycle) = (&vacuum["circuits"][0], &vacuum["cycle"]);
    let (network, operation) = (&circuit["network"], &circuit["supply"]["operation"]);
    let redo = Redo::new(network);
    let levels: Vec<f64> = list(circuit, "cups").iter().map(|cup| 0.9 * number(&cup["level_kpa"])).collect();
    // Backward Euler is off in proportion to its step: twice the finer less the coarser.
    let (coarse, fine) = (redo.times(&levels, 4e-3), redo.times(&levels, 2e-3));
    let valve_s = number(&operation["valve_s"]);
    let mut slowest: f64 = 0.0;
    for (cup, (coarse, fine)) in list(circuit, "cups").iter().zip(coarse.iter().zip(&fine)) {
        let by_hand = 2.0 * fine - coarse;
        let told = number(&cup["time_to_level_s"]);
        assert!(((told - valve_s) / by_hand - 1.0).abs() < 5e-3, "{told} {by_hand} {valve_s}");
        slowest = slowest.max(told);
    }
    // The pick: until the slowest cup, the switch, the hold; then blown off.
    let running = slowest + number(&operation["switch_s"]) + number(&cycle["hold_s"]);
    let blow = &operation["blow_off"];
    let feed = (number(&blow["feed_kpa"]) + number(&network["atmosphere_kpa"])) * 1e3;
    let release = number(&circuit["release_blow_off_s"]);
    let blown = redo.through(number(&blow["c_dm3_s_bar"]), number(&blow["b"]), feed, 0.0) / NL_MIN / 60.0
        * release
        * list(network, "releases").len() as f64;
    assert!((blown / number(&circuit["blow_off_nl_per_pick"]) - 1.0).abs() < 1e-6, "{blown}");
    assert!((number(&circuit["pick_s"]) - running - release).abs() < 1e-6);
    let used: f64 = list(network, "sources").iter().map(|source| number(&source["air_nl_min"])).sum();
    // On all the time, as the arrangements are told; with air saved, for as long as the object says.
    let all_on = &list(circuit, "arrangements")[0];
    let air = used * running / 60.0 + blown;
    assert!((air / number(&all_on["air_nl_per_pick"]) - 1.0).abs() < 1e-6, "{air}");
    assert!(operation["air_saving"] == true && number(&circuit["running_s"]) < running);
    let air = used * number(&circuit["running_s"]) / 60.0 + blown;
    assert!((air / number(&circuit["air_nl_per_pick"]) - 1.0).abs() < 1e-6, "{air}");
    let energy = air * 1e-3 * number(&cycle["compressor_kwh_per_m3"]) * 1e3;
    assert!((energy / number(&circuit["energy_wh_per_pick"]) - 1.0).abs() < 1e-6, "{energy}");
    let picks = number(&cycle["picks_per_hour"]) * number(&cycle["hours_per_year"]);
    let cost = air * 1e-3 * number(&cycle["air_price_per_m3"]) * picks;
    assert!((cost / number(&circuit["cost_per_year"]) - 1.0).abs() < 1e-6, "{cost}");
}
