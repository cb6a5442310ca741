//! How a rigid part shares its load among cups that act as springs.

use crate::group_error::GroupError;
use crate::motion::{MILLI, Wrench};
use glam::{DMat2, DVec2};

/// Two stiffnesses against tipping in a ratio below this count as one: the lever across a line of cups would be a
/// millionth of the lever along it.
const SINGULAR: f64 = 1e-12;
/// Levers below this share of the largest coordinate are rounding.
const ROUNDING: f64 = 1e-9;

/// One cup as springs: at the centre of its lip, but for the lateral one, which acts at `side_lever` above it.
///
/// # Side load on a tall cup
/// A cup held square at its fitting and flexible in between is bent by a side load T into an S: a beam between two ends that
/// stay square, without bending moment half-way up. Cut there and looked at from below, the cup has T from the part on the
/// lip, -T from its upper half at h above the lip, and the moment of the part on the lip, which holds both in balance:
/// M = h z × T. So the lip is tilted as if the lateral spring stood at the height h, and so is the part in return: with T the
/// share of a level force F, the pulls balance a moment about the height h, not about the lips. The stiffness of that beam
/// says the same: of 12 EI/H³, 6 EI/H² and 4 EI/H the spring k = 12 EI/H³ at h = H/2 with a tilt spring EI/H there is the
/// whole (h k = 6 EI/H², h² k + EI/H = 4 EI/H). A cup on a ball joint passes no moment: h = 0 with the lip at the joint.
///
/// # Units
/// `at` mm, `turn` rad, `axial` and `lateral` N/mm, `tilt` and `twist` N·m/rad, `side_lever` mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CupSpring {
    /// Centre of the lip, mm.
    pub at: DVec2,
    /// Turn of the lip's length axis from x, rad.
    pub turn: f64,
    /// Along the cup's axis, N/mm.
    pub axial: f64,
    /// Across it, the same in every direction, N/mm.
    pub lateral: f64,
    /// `tilt[0]` resists turning about the lip's length axis, `tilt[1]` about its width axis, N·m/rad.
    pub tilt: [f64; 2],
    /// Against turning about the cup's axis, N·m/rad.
    pub twist: f64,
    /// Height above the lip at which a side load passes without a moment, mm: half the height from lip to fitting for a
    /// cup held square there, 0 for a ball joint.
    pub side_lever: f64,
}

impl CupSpring {
    /// Axial and lateral stiffness spread evenly along a lip line; tilt (not twist) times `tilt_reduction`, which
    /// stands for bellows. A round lip of radius r gets tilt k r²/2 and twist k_l r².
    ///
    /// # Units
    /// `at` mm, `turn` rad, `axial` and `lateral` N/mm, `line` mm and mm³.
    ///
    /// # Source
    /// Springs k/L per length along a line: tilt = k I/L with I the line's second moment about the axis of turning,
    /// twist = k_l (I_x + I_y)/L (statics).
    pub fn along_lip(
        at: DVec2,
        turn: f64,
        axial: f64,
        lateral: f64,
        line: &geometry::LipLine,
        tilt_reduction: f64,
    ) -> Self {
        let tilt = |second_moment: f64| axial * second_moment / line.length * MILLI * tilt_reduction;
        let twist = lateral * (line.ix + line.iy) / line.length * MILLI;
        Self { at, turn, axial, lateral, tilt: [tilt(line.ix), tilt(line.iy)], twist, side_lever: 0.0 }
    }

    /// The same cup with the side load passing at a height above the lip.
    ///
    /// # Units
    /// mm.
    pub fn with_side_lever(self, side_lever: f64) -> Self {
        Self { side_lever, ..self }
    }

    /// Point spring, without tilt or twist stiffness: the handbook's bolt or pile group.
    ///
    /// # Units
    /// `at` mm, `axial` and `lateral` N/mm.
    pub fn point(at: DVec2, axial: f64, lateral: f64) -> Self {
        Self { at, turn: 0.0, axial, lateral, tilt: [0.0; 2], twist: 0.0, side_lever: 0.0 }
    }

    fn check(&self, cup: usize) -> Result<(), GroupError> {
        let named = [
            ("x", self.at.x, false),
            ("y", self.at.y, false),
            ("turn", self.turn, false),
            ("lever of the side load", self.side_lever, false),
            ("axial stiffness", self.axial, true),
            ("lateral stiffness", self.lateral, true),
            ("tilt stiffness about its length", self.tilt[0], true),
            ("tilt stiffness about its width", self.tilt[1], true),
            ("twist stiffness", self.twist, true),
        ];
        named
            .into_iter()
            .find(|&(_, value, stiffness)| !value.is_finite() || (stiffness && value < 0.0))
            .map_or(Ok(()), |(what, value, not_negative)| {
                Err(GroupError::BadInput { cup, what, value, not_negative })
            })
    }
}

/// What one cup gets: force and moment of the part on the cup, about the centre of its lip, in the tool frame. The
/// force is (slide.x, slide.y, -pull), the moment (tilt.x, tilt.y, twist).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CupLoad {
    /// Along the cup's axis, positive away from the cup, N.
    pub pull: f64,
    /// In the plane of the part, N.
    pub slide: DVec2,
    /// Moment vector about x and y, N·m.
    pub tilt: DVec2,
    /// Moment about z, N·m.
    pub twist: f64,
}

impl CupLoad {
    /// So many times this.
    pub(crate) fn times(&self, times: f64) -> Self {
        Self {
            pull: times * self.pull,
            slide: times * self.slide,
            tilt: times * self.tilt,
            twist: times * self.twist,
        }
    }

    /// This plus `times` another load.
    pub(crate) fn plus(&self, times: f64, other: &Self) -> Self {
        Self {
            pull: self.pull + times * other.pull,
            slide: self.slide + times * other.slide,
            tilt: self.tilt + times * other.tilt,
            twist: self.twist + times * other.twist,
        }
    }
}

#[derive(Debug, Clone, Copy)]
struct Member {
    /// From the centre of axial stiffness, along the principal axes of tipping, mm.
    from_axial: DVec2,
    /// From the centre of lateral stiffness, mm.
    from_lateral: DVec2,
    axial: f64,
    lateral: f64,
    /// Tilt stiffness in the tool frame, N·m/rad.
    tilt: DMat2,
    twist: f64,
    /// Height at which the lateral spring acts, mm.
    side_lever: f64,
}

/// How a load moves the part on its cups.
#[derive(Debug, Clone, Copy)]
struct Moved {
    /// mm.
    lift: f64,
    /// mm.
    shift: DVec2,
    /// rad, along the principal axes.
    tipped: DVec2,
    /// rad, along x and y.
    tilted: DVec2,
    /// rad.
    twisted: f64,
}

/// Cups ready to share loads: one factorisation, then a few multiplications per cup and load.
///
/// With every lateral spring at the same height the 6x6 stiffness is block diagonal when pull and tipping are written
/// about the centre of axial stiffness, slide and twist about the centre of lateral stiffness at its height: three
/// translations, one twist, and a 2x2 for tipping, solved along its principal axes. No general factorisation is as exact.
/// Springs at different heights d from their mean couple slide and twist with tipping; with slide and twist solved for,
/// what is left adds Σ k d² - g gᵀ/K to the tipping stiffness, g = Σ k d r, r from the lateral centre, K the stiffness
/// against twist.
///
/// # Source
/// Minimum complementary energy of springs under a rigid plate; with equal point springs the pile formula with product
/// of inertia and the elastic (vector) method for eccentric shear: Budynas & Nisbett, *Shigley's Mechanical Engineering
/// Design*, 9th ed., 8-12, pp. 455-458.
#[derive(Debug, Clone)]
pub struct CupGroup {
    members: Vec<Member>,
    centre: DVec2,
    lateral_centre: DVec2,
    axial: f64,
    lateral: f64,
    /// Columns: principal axes of tipping in the tool frame.
    principal: DMat2,
    /// Moment to rotation along the principal axes, rad/(N·m).
    tipping: DMat2,
    /// rad/(N·m).
    twisting: f64,
    /// Height of the centre of lateral stiffness above the lips, mm.
    height: f64,
    /// Twist per tipping, N·m/rad: lateral stiffness by height from its mean and lever in the plan.
    coupling: DVec2,
}

/// Motions that nothing resists.
#[derive(Default)]
struct Free {
    tipping: Option<GroupError>,
    twist: Option<GroupError>,
}

impl CupGroup {
    /// Prepares cups for [`Self::share`].
    ///
    /// # Errors
    /// What the group cannot carry: [`GroupError`].
    pub fn new(cups: &[CupSpring]) -> Result<Self, GroupError> {
        let (group, free) = Self::assemble(cups)?;
        free.tipping.or(free.twist).map_or(Ok(group), Err)
    }

    /// The group with its free motions given no stiffness and no load.
    fn assemble(cups: &[CupSpring]) -> Result<(Self, Free), GroupError> {
        let mut group = Self::nobody(cups.len());
        let free = group.assemble_again(cups)?;
        Ok((group, free))
    }

    /// A group of no cups, with room for so many: to be filled by [`Self::regroup`] before it shares anything.
    pub(crate) fn nobody(room: usize) -> Self {
        Self {
            members: Vec::with_capacity(room),
            centre: DVec2::ZERO,
            lateral_centre: DVec2::ZERO,
            axial: 0.0,
            lateral: 0.0,
            principal: DMat2::IDENTITY,
            tipping: DMat2::ZERO,
            twisting: 0.0,
            height: 0.0,
            coupling: DVec2::ZERO,
        }
    }

    /// As [`Self::new`], in the room of this group: nothing is allocated as long as the cups are no more than it had. After an
    /// error the group is of no use until it is grouped again.
    pub(crate) fn regroup(&mut self, cups: &[CupSpring]) -> Result<(), GroupError> {
        let free = self.assemble_again(cups)?;
        free.tipping.or(free.twist).map_or(Ok(()), Err)
    }

    fn assemble_again(&mut self, cups: &[CupSpring]) -> Result<Free, GroupError> {
        if cups.is_empty() {
            return Err(GroupError::Empty);
        }
        cups.iter().enumerate().try_for_each(|(index, cup)| cup.check(index))?;
        let axial: f64 = cups.iter().map(|cup| cup.axial).sum();
        let lateral: f64 = cups.iter().map(|cup| cup.lateral).sum();
        if axial <= 0.0 {
            return Err(GroupError::NoPull);
        }
        if lateral <= 0.0 {
            return Err(GroupError::NoSlide);
        }
        // From the first cup, so that a layout far from the datum loses no digits.
        let origin = cups[0].at;
        let weighted = |stiffness: fn(&CupSpring) -> f64, total: f64| {
            origin + cups.iter().map(|cup| (cup.at - origin) * stiffness(cup)).sum::<DVec2>() / total
        };
        let centre = weighted(|cup| cup.axial, axial);
        let lateral_centre = weighted(|cup| cup.lateral, lateral);
        let lever = ROUNDING * cups.iter().map(|cup| cup.at.abs().max_element()).fold(1.0, f64::max);

        let mut members = std::mem::take(&mut self.members);
        members.clear();
        members.extend(cups.iter().map(|cup| {
            let axes = DMat2::from_angle(cup.turn);
            Member {
                from_axial: cup.at - centre,
                from_lateral: cup.at - lateral_centre,
                axial: cup.axial,
                lateral: cup.lateral,
                tilt: axes * DMat2::from_diagonal(DVec2::from_array(cup.tilt)) * axes.transpose(),
                twist: cup.twist,
                side_lever: cup.side_lever,
            }
        }));
        let twist: f64 = members
            .iter()
            .map(|member| member.twist + member.lateral * member.from_lateral.length_squared() * MILLI)
            .sum();
        let mut free = Free::default();
        let twisting = if twist <= lateral * lever * lever * MILLI {
            free.twist = Some(GroupError::TwistsFreely { at: lateral_centre });
            0.0
        } else {
            twist.recip()
        };
        // From the first cup, so that equal heights leave exactly nothing.
        let first = cups[0].side_lever;
        let height =
            first + cups.iter().map(|cup| (cup.side_lever - first) * cup.lateral).sum::<f64>() / lateral;
        let (coupling, apart) = members.iter().fold((DVec2::ZERO, 0.0), |(coupling, apart), member| {
            let away = member.side_lever - height;
            let stiff = member.lateral * away * MILLI;
            (coupling + stiff * member.from_lateral, apart + stiff * away)
        });
        let by_height = DMat2::from_diagonal(DVec2::splat(apart))
            - twisting * DMat2::from_cols(coupling * coupling.x, coupling * coupling.y);
        let rough = against_tipping(&members, DMat2::IDENTITY) + by_height;
        // Angle of the axis about which the group is stiffest.
        let angle = 0.5 * (2.0 * rough.y_axis.x).atan2(rough.x_axis.x - rough.y_axis.y);
        let principal = DMat2::from_angle(angle);
        for member in &mut members {
            member.from_axial = principal.transpose() * member.from_axial;
        }
        // Assembled again along the principal axes: the small stiffness is then a sum of squares of small levers, not
        // a difference of large ones.
        let stiffness = against_tipping(&members, principal) + principal.transpose() * by_height * principal;
        let (stiff, soft) = (stiffness.x_axis.x, stiffness.y_axis.y);
        let floor = axial * lever * lever * MILLI;
        let one_point = members.iter().all(|member| member.from_axial.abs().max_element() <= lever);
        let tipping = if stiff <= floor {
            free.tipping = Some(GroupError::AtOnePoint { at: centre });
            DMat2::ZERO
        } else if soft <= floor.max(SINGULAR * stiff) {
            let (through, direction) = (centre, principal.y_axis);
            free.tipping = Some(if one_point {
                GroupError::TiltsFreely { through, direction }
            } else {
                GroupError::InLine { through, direction }
            });
            DMat2::from_diagonal(DVec2::new(stiff.recip(), 0.0))
        } else {
            stiffness.inverse()
        };
        *self = Self {
            members,
            centre,
            lateral_centre,
            axial,
            lateral,
            principal,
            tipping,
            twisting,
            height,
            coupling,
        };
        Ok(free)
    }

    /// Centre of the cups' axial stiffness, mm: a pull here tips nothing.
    pub fn centre(&self) -> DVec2 {
        self.centre
    }

    /// Number of cups.
    pub fn len(&self) -> usize {
        self.members.len()
    }

    /// Whether the group has no cups; [`Self::new`] never makes such a group.
    pub fn is_empty(&self) -> bool {
        self.members.is_empty()
    }

    /// Each cup's share of a load, in the order of the cups. The shares add up to the load: the sum of
    /// (slide.x, slide.y, -pull) is its force, the sum of (at x that force + (tilt, twist)) its moment.
    ///
    /// # Units
    /// N, N·m.
    pub fn share(&self, wrench: &Wrench) -> Vec<CupLoad> {
        let mut loads = Vec::with_capacity(self.members.len());
        self.share_into(wrench, &mut loads);
        loads
    }

    /// As [`Self::share`], into a buffer that is cleared first.
    pub fn share_into(&self, wrench: &Wrench, loads: &mut Vec<CupLoad>) {
        let moved = self.moved_by(wrench);
        loads.clear();
        loads.extend(self.members.iter().map(|member| self.load_of(member, &moved)));
    }

    /// What one cup gets of a load; nothing for a cup that the group does not have.
    pub(crate) fn share_of_cup(&self, cup: usize, wrench: &Wrench) -> CupLoad {
        let moved = self.moved_by(wrench);
        self.members.get(cup).map_or_else(CupLoad::default, |member| self.load_of(member, &moved))
    }

    fn moved_by(&self, wrench: &Wrench) -> Moved {
        let tip = self.tipping_moment(wrench);
        let turn = wrench.moved_to(self.lateral_centre.extend(0.0)).moment.z;
        let tipped = self.tipping * (self.principal.transpose() * tip);
        let tilted = self.principal * tipped;
        Moved {
            lift: wrench.force.z / self.axial,
            shift: wrench.force.truncate() / self.lateral,
            tipped,
            tilted,
            twisted: (turn + self.coupling.dot(tilted)) * self.twisting,
        }
    }

    fn load_of(&self, member: &Member, moved: &Moved) -> CupLoad {
        let Moved { lift, shift, tipped, tilted, twisted } = *moved;
        // A turn t about an axis in the plane moves a point at height z by t x z = (t.y, -t.x) z.
        let leaning = (self.height - member.side_lever) * tilted.perp();
        let slide = member.lateral * (shift + twisted * member.from_lateral.perp() + leaning);
        CupLoad {
            // The same turn moves a point at r in the plane by (t x r).z = t.x r.y - t.y r.x.
            pull: -member.axial * (lift + tipped.perp_dot(member.from_axial)),
            slide,
            tilt: member.tilt * tilted + member.side_lever * MILLI * slide.perp(),
            twist: member.twist * twisted,
        }
    }

    /// The moment that pulls and tilt springs balance, N·m: about the centre of axial stiffness at the height at which the
    /// side load passes, with what a twist adds where the heights differ.
    fn tipping_moment(&self, wrench: &Wrench) -> DVec2 {
        let moment = wrench.moved_to(self.centre.extend(0.0)).moment.truncate();
        let turn = wrench.moved_to(self.lateral_centre.extend(0.0)).moment.z;
        let side = wrench.force.truncate().perp() * (self.height * MILLI);
        moment - side + self.coupling * (turn * self.twisting)
    }
}

/// Stiffness against tipping, N·m/rad, along `axes`, of members whose places are given along the same axes.
fn against_tipping(members: &[Member], axes: DMat2) -> DMat2 {
    members.iter().fold(DMat2::ZERO, |sum, member| {
        let r = member.from_axial;
        let levers = DMat2::from_cols(DVec2::new(r.y * r.y, -r.x * r.y), DVec2::new(-r.x * r.y, r.x * r.x));
        sum + levers * (member.axial * MILLI) + axes.transpose() * member.tilt * axes
    })
}

#[cfg(test)]
mod tests;
