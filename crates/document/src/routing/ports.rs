//! Ports of a manifold, and which cup takes which.

use super::RoutedCup;
use crate::Manifold;
use glam::DVec2;

/// More ports than this are not told apart; no manifold has as many.
const MOST_PORTS: u32 = 256;

impl Manifold {
    /// Direction of its length.
    fn direction(&self) -> DVec2 {
        DVec2::from_angle(self.turn_deg.to_radians())
    }
    fn count(&self) -> u32 {
        self.ports.clamp(1, MOST_PORTS)
    }
    /// With as many ports as can be told apart, so that nobody after this counts to four thousand million.
    pub(super) fn bounded(self) -> Self {
        Self { ports: self.count(), ..self }
    }
    /// Distance of its ports, mm.
    pub fn pitch_mm(&self) -> f64 {
        self.length_mm / f64::from(self.count())
    }
    /// Start and end of its length on the plan, mm.
    pub fn ends(&self) -> [DVec2; 2] {
        let half = self.direction() * (self.length_mm / 2.0);
        [self.at - half, self.at + half]
    }
    /// Place of a port on the plan, counted from 0 at the start, mm.
    ///
    /// ```
    /// use document::{Fed, Manifold};
    /// let at = (300.0, 200.0).into();
    /// let manifold = Manifold { at, turn_deg: 0.0, length_mm: 160.0, bore_mm: 12.0, ports: 4, fed: Fed::OneEnd };
    /// assert_eq!((manifold.port(0).x, manifold.port(3).x), (240.0, 360.0));
    /// ```
    pub fn port(&self, port: u32) -> DVec2 {
        let from_middle = (f64::from(port) + 0.5) * self.pitch_mm() - self.length_mm / 2.0;
        self.at + self.direction() * from_middle
    }
    /// The piece of it that holds these ports.
    fn piece(&self, first: u32, ports: u32) -> Self {
        let pitch = self.pitch_mm();
        let middle = (f64::from(first) + f64::from(ports) / 2.0) * pitch - self.length_mm / 2.0;
        Self { at: self.at + self.direction() * middle, length_mm: pitch * f64::from(ports), ports, ..*self }
    }
    /// How far along it a cup lies.
    fn along(&self, cup: &RoutedCup<'_>) -> f64 {
        (cup.top.truncate() - self.at).dot(self.direction())
    }

    /// A piece for each group of cups, in the order of the groups: along the manifold as the groups lie along it, each with
    /// as many ports as it has cups, or its share where there are too few; what is left over is the last piece's.
    pub(super) fn parted(&self, groups: &[&[RoutedCup<'_>]]) -> Vec<Self> {
        let (ports, cups) = (self.count(), groups.iter().map(|g| g.len()).sum::<usize>());
        if groups.len() < 2 || groups.len() > ports as usize {
            return vec![*self; groups.len()];
        }
        let mean = |g: &[RoutedCup<'_>]| g.iter().map(|c| self.along(c)).sum::<f64>() / g.len().max(1) as f64;
        let mut order: Vec<usize> = (0..groups.len()).collect();
        order.sort_by(|a, b| mean(groups[*a]).total_cmp(&mean(groups[*b])));
        let mut pieces = vec![*self; groups.len()];
        let mut first = 0;
        for (i, group) in order.iter().enumerate() {
            let later = (order.len() - i - 1) as u32;
            let share = if cups <= ports as usize {
                groups[*group].len() as u32
            } else {
                (groups[*group].len() * ports as usize / cups) as u32
            };
            let left = ports - first - later;
            let own = if later == 0 { left } else { share.clamp(1, left) };
            pieces[*group] = self.piece(first, own);
            first += own;
        }
        pieces
    }

    /// The port of each cup: in the order of the cups along the manifold, so that no hoses cross, and with the least hose in
    /// all. Where there are more cups than ports, neighbours share one.
    pub(super) fn ports_for(&self, cups: &[RoutedCup<'_>]) -> Vec<u32> {
        let ports = self.count();
        let mut order: Vec<usize> = (0..cups.len()).collect();
        order.sort_by(|a, b| self.along(&cups[*a]).total_cmp(&self.along(&cups[*b])).then(a.cmp(b)));
        let mut port_of = vec![0; cups.len()];
        if cups.len() > ports as usize {
            for (i, cup) in order.iter().enumerate() {
                port_of[*cup] = (i * ports as usize / cups.len()) as u32;
            }
            return port_of;
        }
        let distance = |cup: usize, port: usize| cups[cup].top.truncate().distance(self.port(port as u32));
        // least[i][j]: the least hose for the first i cups on ports before j. Later ports only if they are better, so that
        // equal ways always end the same.
        let (n, p) = (cups.len(), ports as usize);
        let mut least = vec![vec![f64::INFINITY; p + 1]; n + 1];
        least[0].fill(0.0);
        for i in 1..=n {
            for j in i..=p {
                let here = least[i - 1][j - 1] + distance(order[i - 1], j - 1);
                least[i][j] = here.min(least[i][j - 1]);
            }
        }
        let mut j = p;
        for i in (1..=n).rev() {
            while j > i && least[i][j - 1] <= least[i][j] {
                j -= 1;
            }
            j -= 1;
            port_of[order[i - 1]] = j as u32;
        }
        port_of
    }
}
