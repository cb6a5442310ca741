//! What a motion is, the slow figures and the tool, as keys.

use super::{keys_slow::*, known, limit_word, number, pair, triple};
use analysis::{
    Carried, ChannelReport, EnvelopePointReport, EnvelopeReport, LevelsWhenLost, LimitFigure, Lost,
    LostReport, MotionSlow, RobotLoad,
};
use document::{CupId, FrameShape, Motion, MoveProfile, Project, StartStop, Tool, Worst};
use glam::{DVec2, DVec3};
use std::collections::HashMap;

pub(super) fn site(project: &Project) -> SiteJson {
    SiteJson {
        altitude_m: number(project.site.altitude_m),
        temperature_c: number(project.site.temperature_c),
        payload_kg: project.site.payload_kg.and_then(number),
    }
}

pub(super) fn spread(project: &Project) -> SpreadJson {
    SpreadJson {
        friction: number(project.rules.friction_spread),
        stiffness: number(project.rules.stiffness_spread),
        lip: number(project.rules.lip_spread),
    }
}

pub(super) fn channel(channel: &ChannelReport) -> ChannelJson {
    ChannelJson {
        fall_per_m: known(channel.fall_per_m),
        half_length_mm: known(channel.half_length_mm),
        end_share: known(channel.end_share),
        mean_share: known(channel.mean_share),
    }
}

fn triple_if(value: DVec3) -> Option<[f64; 3]> {
    value.is_finite().then(|| triple(value))
}

fn pair_if(value: DVec2) -> Option<[f64; 2]> {
    value.is_finite().then(|| pair(value))
}

pub(super) fn entered(motion: &Motion) -> EnteredJson {
    EnteredJson {
        tilt_deg: number(motion.tilt_deg),
        lowest_deg: number(motion.lowest_deg),
        worst: match motion.worst {
            Worst::AsStated => "as_stated",
            Worst::Direction => "direction",
            Worst::Lowest => "lowest",
            Worst::TiltTo { .. } => "tilt",
        },
        tilt_to_deg: match motion.worst {
            Worst::TiltTo { deg } => number(deg),
            Worst::AsStated | Worst::Direction | Worst::Lowest => None,
        },
        inertia_times: number(motion.inertia_times),
        start_stop: match motion.start_stop {
            StartStop::Both => "both",
            StartStop::AsStated => "as_stated",
        },
        stated_acceleration_m_s2: triple_if(analysis::acceleration_of(motion)),
        stroke: motion.stroke.map(|stroke| StrokeJson {
            stroke_mm: number(stroke.mm),
            time_s: number(stroke.time_s),
            profile: match stroke.profile {
                MoveProfile::Trapezoid => "trapezoid",
                MoveProfile::Cycloid => "cycloid",
                MoveProfile::Quintic => "quintic",
            },
            peak_m_s2: number(analysis::acceleration_of(motion).length()),
        }),
    }
}

/// A limit as a number, or as the word that none is too much.
fn limit(limit: &LimitFigure) -> (Option<f64>, Option<bool>) {
    match limit {
        LimitFigure::Factor(value) => (number(*value), None),
        LimitFigure::Unlimited => (None, Some(true)),
        LimitFigure::Missing(_) | LimitFigure::Pending => (None, None),
    }
}

pub(super) fn slow<'a>(slow: &'a MotionSlow, tags: &HashMap<CupId, &'a str>) -> MotionSlowJson<'a> {
    let (limit_factor, limit_unlimited) = limit(&slow.limit);
    let lost = |cups: bool| {
        slow.lost
            .iter()
            .filter(move |lost| matches!(lost.lost, Lost::Cup(_)) == cups)
            .map(|lost| self::lost(lost, tags))
            .collect()
    };
    MotionSlowJson {
        limit_factor,
        limit_factor_at_least: slow.limit_at_least.and_then(number),
        limit_unlimited,
        factor_range: slow.range.as_ref().map(|range| RangeJson {
            least: number(range.least),
            most: number(range.most),
            inputs: &range.inputs,
        }),
        one_cup_lost: lost(true),
        zone_lost: lost(false),
    }
}

fn lost<'a>(lost: &'a LostReport, tags: &HashMap<CupId, &'a str>) -> LostJson<'a> {
    let (limit_factor, limit_unlimited) = limit(&lost.limit);
    let (tag, zone) = lost_name(&lost.lost, tags);
    LostJson {
        tag,
        zone,
        factor: lost.factor.and_then(number),
        limit_factor,
        limit_factor_at_least: lost.limit_at_least.and_then(number),
        limit_unlimited,
        then_lost: lost.then_lost.iter().filter_map(|cup| tags.get(cup).copied()).collect(),
        holds: lost.holds,
    }
}

/// Tag of a cup, name of a zone.
fn lost_name<'a>(lost: &'a Lost, tags: &HashMap<CupId, &'a str>) -> (Option<&'a str>, Option<&'a str>) {
    match lost {
        Lost::Cup(cup) => (tags.get(cup).copied(), None),
        Lost::Zone(zone) => (None, Some(zone.as_str())),
    }
}

pub(super) fn levels_when_lost<'a>(
    levels: &'a LevelsWhenLost,
    tags: &HashMap<CupId, &'a str>,
) -> LevelsWhenLostJson<'a> {
    let (tag, zone) = lost_name(&levels.lost, tags);
    let left = levels.cups.iter().filter_map(|left| {
        Some(LevelLeftJson {
            tag: tags.get(&left.cup).copied()?,
            level_kpa: known(left.level_kpa),
            vacuum_force_n: known(left.vacuum_force_n),
        })
    });
    LevelsWhenLostJson { tag, zone, cups: left.collect() }
}

/// Direction and acceleration; a direction in which nothing limits it is left out.
pub(super) fn curve(envelope: &EnvelopeReport) -> Vec<[f64; 2]> {
    let points = envelope.points.iter();
    points.filter_map(|point| Some([number(point.direction_deg)?, number(point.acceleration)?])).collect()
}

pub(super) fn envelope<'a>(envelope: &'a EnvelopeReport, tags: &HashMap<CupId, &'a str>) -> EnvelopeJson<'a> {
    let point = |point: &EnvelopePointReport| self::point(point, tags);
    let starts = |index: &usize| {
        let before = envelope.points.get(index.wrapping_sub(1));
        let here = &envelope.points[*index];
        before.is_none_or(|before| (before.cup, before.limit) != (here.cup, here.limit))
    };
    let governing = (0..envelope.points.len()).filter(starts).map(|index| point(&envelope.points[index]));
    EnvelopeJson {
        held: envelope.held.to_string(),
        required_factor: known(envelope.required_factor),
        weakest: point(&envelope.weakest),
        up: EnvelopePointJson { direction_deg: None, ..point(&envelope.up) },
        down: EnvelopePointJson { direction_deg: None, ..point(&envelope.down) },
        governing: governing.collect(),
    }
}

fn point<'a>(point: &EnvelopePointReport, tags: &HashMap<CupId, &'a str>) -> EnvelopePointJson<'a> {
    let ends = point.acceleration.is_finite();
    EnvelopePointJson {
        direction_deg: number(point.direction_deg),
        acceleration_m_s2: number(point.acceleration),
        cup: tags.get(&point.cup).copied().filter(|_| ends),
        limit: ends.then(|| limit_word(point.limit)),
    }
}

pub(super) fn robot(robot: &RobotLoad) -> RobotLoadJson<'_> {
    RobotLoadJson {
        carried: carried(&robot.loaded),
        flange_mm: triple(robot.flange_mm),
        empty: robot.empty.as_ref().map(carried),
        loaded: carried(&robot.loaded),
        payload_kg: robot.payload_kg.and_then(number),
        left_out: &robot.left_out,
    }
}

fn carried(carried: &Carried) -> CarriedJson {
    CarriedJson {
        mass_kg: known(carried.mass_kg),
        centre_mm: triple(carried.centre_mm),
        inertia_kg_m2: carried.inertia_kg_m2.map(known),
    }
}

pub(super) fn tool(tool: &Tool) -> ToolJson<'_> {
    ToolJson {
        frame: tool
            .frame
            .iter()
            .map(|piece| FrameJson {
                name: &piece.name,
                kind: match piece.shape {
                    FrameShape::Rail { .. } => "rail",
                    FrameShape::Plate { .. } => "plate",
                },
                mass_kg: number(piece.mass_kg()),
                centre_mm: triple_if(piece.centre()),
                size_mm: pair_if(piece.size()),
                turn_deg: number(piece.turn_deg),
            })
            .collect(),
        masses: tool
            .masses
            .iter()
            .map(|mass| MassJson {
                name: &mass.name,
                mass_kg: number(mass.mass_kg),
                centre_mm: triple_if(mass.at),
                size_mm: triple_if(mass.size),
            })
            .collect(),
    }
}
