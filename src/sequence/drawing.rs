//! Where everything stands in the picture of a pass: bolts, turns, arrows and lines of text.
//!
//! Lengths are in pixels, to the right and down, as in SVG. Widths of text are estimated from a wide
//! sans-serif face, so that nothing touches whichever face the reader's machine has.

use super::{BoltNumber, Layout, Point};

/// The smallest distance between the middles of two bolts, for few and for many bolts.
const SPACINGS: [f64; 2] = [132.0, 96.0];
/// From how many bolts on they stand closer and their arrows are thin.
pub(super) const MANY_BOLTS: usize = 13;
/// Radius of a bolt.
pub(super) const RADIUS: f64 = 22.0;
const ORDINAL_SIZE: f64 = 20.0;
/// Least room around the bolts.
const MARGIN: f64 = 96.0;
/// Width for which the lines of text are broken at least.
const LEAST_WIDTH: f64 = 560.0;
/// Free space between two things that must not touch.
const CLEAR: f64 = 4.0;
/// Free space between a label and the bolts it does not belong to, where there is room.
const APART: f64 = 16.0;
/// Width of a character as a part of its size; a wide face's digits have 0.64.
const CHARACTER: f64 = 0.64;
/// How far an arrow may bow out to the left of its way, as a part of its length, with the number of
/// points on other arrows that it may touch before it does.
const BOWS: [(f64, usize); 9] =
    [(0.0, 0), (0.15, 2), (-0.15, 2), (0.3, 5), (-0.3, 5), (0.5, 9), (-0.5, 9), (0.8, 14), (-0.8, 14)];
/// Points along an arrow at which it is held against what it could touch.
const SAMPLES: u32 = 32;

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Frame {
    fn about(middle: Point, width: f64, height: f64) -> Frame {
        Frame { left: middle.x - width / 2.0, top: middle.y - height / 2.0, width, height }
    }

    pub(super) fn middle(self) -> Point {
        Point { x: self.left + self.width / 2.0, y: self.top + self.height / 2.0 }
    }

    /// Whether the two come nearer than `clear`.
    pub(super) fn touches(self, other: Frame, clear: f64) -> bool {
        self.left < other.left + other.width + clear
            && other.left < self.left + self.width + clear
            && self.top < other.top + other.height + clear
            && other.top < self.top + self.height + clear
    }

    /// How far a place is from the frame; 0 inside it.
    pub(super) fn distance(self, place: Point) -> f64 {
        let across = (self.left - place.x).max(place.x - self.left - self.width).max(0.0);
        let along = (self.top - place.y).max(place.y - self.top - self.height).max(0.0);
        across.hypot(along)
    }
}

/// Text in its frame, in the middle of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DrawnLabel {
    pub(super) text: String,
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) frame: Frame,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arrow {
    pub(super) from: Point,
    pub(super) control: Point,
    pub(super) to: Point,
}

impl Arrow {
    pub(super) fn samples(self) -> impl Iterator<Item = Point> {
        (0..=SAMPLES).map(move |k| {
            let t = f64::from(k) / f64::from(SAMPLES);
            let at = |from: f64, control: f64, to: f64| {
                from * (1.0 - t) * (1.0 - t) + 2.0 * control * t * (1.0 - t) + to * t * t
            };
            Point {
                x: at(self.from.x, self.control.x, self.to.x),
                y: at(self.from.y, self.control.y, self.to.y),
            }
        })
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Drawing {
    pub(super) width: f64,
    pub(super) height: f64,
    /// The middle of every bolt, by bolt number.
    pub(super) bolts: Vec<Point>,
    pub(super) ordinals: Vec<DrawnLabel>,
    pub(super) arrows: Vec<Arrow>,
    /// The lines above and below the bolts.
    pub(super) lines: Vec<DrawnLabel>,
}

/// A paragraph: its text, its size and whether it is bold.
pub(super) type Paragraph<'a> = (&'a str, f64, bool);

impl Drawing {
    /// The bolts of `layout` with the path of `order`, between paragraphs above and below.
    pub(super) fn new(
        layout: &Layout,
        order: &[BoltNumber],
        above: &[Paragraph],
        below: &[Paragraph],
    ) -> Drawing {
        let (bolts, extent) = placed(layout);
        let order: Vec<BoltNumber> =
            order.iter().copied().filter(|bolt| bolt.index() < bolts.len()).collect();
        let turns = turns(bolts.len(), &order);
        let widest = turns.iter().map(|text| text_width(text, ORDINAL_SIZE)).fold(0.0, f64::max);
        let margin = MARGIN.max(RADIUS + 3.0 * CLEAR + widest);
        let width = (extent.x + 2.0 * margin).max(LEAST_WIDTH);
        let mut lines = Vec::new();
        let head = set_lines(above, width, CLEAR, &mut lines);
        let shift = Point { x: (width - extent.x) / 2.0, y: head + margin };
        let bolts: Vec<Point> =
            bolts.into_iter().map(|bolt| Point { x: bolt.x + shift.x, y: bolt.y + shift.y }).collect();
        let foot = head + extent.y + 2.0 * margin;
        let height = set_lines(below, width, foot, &mut lines) + CLEAR;
        let ordinals = set_ordinals(&bolts, turns);
        let field = Frame {
            left: CLEAR,
            top: head + CLEAR,
            width: width - 2.0 * CLEAR,
            height: foot - head - 2.0 * CLEAR,
        };
        let arrows = set_arrows(&bolts, &order, &ordinals, field);
        Drawing { width, height, bolts, ordinals, arrows, lines }
    }
}

/// The middle of every bolt, from the upper left corner of all, and the lower right corner.
fn placed(layout: &Layout) -> (Vec<Point>, Point) {
    let scale = SPACINGS[usize::from(layout.bolts() >= MANY_BOLTS)] / layout.spacing().unwrap_or(1.0);
    let from = layout.corner();
    let place = |place: &Point| Point { x: (place.x - from.x) * scale, y: (from.y - place.y) * scale };
    let bolts: Vec<Point> = layout.positions().iter().map(place).collect();
    let corner = bolts.iter().fold(Point { x: 0.0, y: 0.0 }, |corner, bolt| Point {
        x: corner.x.max(bolt.x),
        y: corner.y.max(bolt.y),
    });
    (bolts, corner)
}

/// Sets paragraphs from `top` down, broken to `width`; where the next line would begin.
fn set_lines(paragraphs: &[Paragraph], width: f64, top: f64, lines: &mut Vec<DrawnLabel>) -> f64 {
    let mut top = top + CLEAR;
    for &(text, size, bold) in paragraphs {
        for line in broken(text, width - 4.0 * CLEAR, size) {
            let height = 1.3 * size;
            let frame = Frame::about(
                Point { x: width / 2.0, y: top + height / 2.0 },
                text_width(&line, size),
                height,
            );
            lines.push(DrawnLabel { text: line, size, bold, frame });
            top += height + CLEAR;
        }
    }
    top
}

/// Text broken between words; a word that is too long for a line is broken where the line ends.
fn broken(text: &str, width: f64, size: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && text_width(&line, size) + text_width(word, size) + size > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for character in word.chars() {
            if text_width(&line, size) + size > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push(character);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The width of text, estimated on the wide side.
pub(super) fn text_width(text: &str, size: f64) -> f64 {
    text.chars().map(|character| if character.is_ascii() { CHARACTER } else { 1.0 }).sum::<f64>() * size
}

/// The turns at which each of `bolts` bolts comes, such as `1st`; nothing where it does not.
fn turns(bolts: usize, order: &[BoltNumber]) -> Vec<String> {
    let of_bolt = |k: usize| {
        let turns = order.iter().enumerate().filter(move |(_, turned)| turned.index() == k);
        turns.map(|(turn, _)| ordinal(turn + 1)).collect::<Vec<_>>().join(" ")
    };
    (0..bolts).map(of_bolt).collect()
}

fn set_ordinals(bolts: &[Point], turns: Vec<String>) -> Vec<DrawnLabel> {
    let count = super::layout::real(bolts.len());
    let middle = bolts.iter().fold(Point { x: 0.0, y: 0.0 }, |sum, bolt| Point {
        x: sum.x + bolt.x / count,
        y: sum.y + bolt.y / count,
    });
    let mut set: Vec<DrawnLabel> = Vec::new();
    for (&bolt, text) in bolts.iter().zip(turns).filter(|(_, text)| !text.is_empty()) {
        let outward = (bolt.y - middle.y).atan2(bolt.x - middle.x);
        let (width, height) = (text_width(&text, ORDINAL_SIZE), 1.1 * ORDINAL_SIZE);
        let places = around(bolt, outward, width, height);
        let free = |clear: f64| {
            places.iter().find(|frame| {
                bolts.iter().all(|&other| other == bolt || frame.distance(other) >= RADIUS + clear)
                    && set.iter().all(|label| !frame.touches(label.frame, CLEAR))
            })
        };
        // Clearly its own bolt's label, if there is room; should there be none, outward of the bolt.
        let Some(&frame) = free(APART).or_else(|| free(CLEAR)).or(places.first()) else { continue };
        set.push(DrawnLabel { text, size: ORDINAL_SIZE, bold: false, frame });
    }
    set
}

/// Places for a label around a bolt, those that point `outward` first.
fn around(bolt: Point, outward: f64, width: f64, height: f64) -> Vec<Frame> {
    let directions = (0..=12).flat_map(|k| {
        let aside = f64::from(k) * std::f64::consts::PI / 12.0;
        [outward + aside, outward - aside]
    });
    directions
        .map(|angle| {
            let (sin, cos) = angle.sin_cos();
            // Far enough for the nearest corner to stay clear of the bolt.
            let away = RADIUS + CLEAR + cos.abs() * width / 2.0 + sin.abs() * height / 2.0;
            Frame::about(Point { x: bolt.x + away * cos, y: bolt.y + away * sin }, width, height)
        })
        .collect()
}

fn ordinal(number: usize) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

/// An arrow from each bolt to the next within `field`, led round other bolts, labels and earlier arrows.
fn set_arrows(bolts: &[Point], order: &[BoltNumber], labels: &[DrawnLabel], field: Frame) -> Vec<Arrow> {
    let mut arrows = Vec::new();
    let mut covered: Vec<Point> = Vec::new();
    for next in order.windows(2).filter(|next| next[0] != next[1]) {
        let (from, to) = (bolts[next[0].index()], bolts[next[1].index()]);
        let in_the_way = |at: Point| {
            let bolt =
                bolts.iter().any(|&bolt| bolt != from && bolt != to && bolt.distance(at) < RADIUS + CLEAR);
            let label = labels.iter().any(|label| label.frame.distance(at) < CLEAR);
            let near = |a: f64, b: f64| (a - b).abs() < 2.0 * CLEAR;
            let arrow = covered.iter().any(|other| near(other.x, at.x) && near(other.y, at.y));
            let outside = field.distance(at) > 0.0;
            // A straight arrow is never outside, so that one which is will not be taken.
            10_000 * usize::from(outside)
                + 100 * usize::from(bolt)
                + 10 * usize::from(label)
                + usize::from(arrow)
        };
        let ways = BOWS.map(|(bow, detour)| {
            let arrow = bowed(from, to, bow);
            (detour + arrow.samples().map(in_the_way).sum::<usize>(), arrow)
        });
        // The first among equals, so that an arrow is as straight as it can be.
        if let Some((_, arrow)) = ways.into_iter().min_by_key(|(cost, _)| *cost) {
            covered.extend(arrow.samples());
            arrows.push(arrow);
        }
    }
    arrows
}

/// An arrow from bolt to bolt that bows out to the left of its way by a part of its length.
fn bowed(from: Point, to: Point, bow: f64) -> Arrow {
    let control = Point {
        x: f64::midpoint(from.x, to.x) + bow * (to.y - from.y),
        y: f64::midpoint(from.y, to.y) - bow * (to.x - from.x),
    };
    let edge = |bolt: Point, clear: f64| {
        let part = (RADIUS + clear) / bolt.distance(control);
        Point { x: bolt.x + (control.x - bolt.x) * part, y: bolt.y + (control.y - bolt.y) * part }
    };
    Arrow { from: edge(from, 2.0), control, to: edge(to, CLEAR) }
}
