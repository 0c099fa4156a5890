//! The verdict on a bicycle on a screen: a screenful that puts together what needs the same act, or the whole.

use super::ready::{Deciding, ReadyReport};
use crate::report::words::{
    NextAct, fitness_text, governing_text, lacking_text, oldest_text, reason_text, taken_off_text,
    unexamined_text, wear_text, without_wrench_text,
};
use crate::report::{Style, columns, records};
use crate::workshop::{Governing, Joint, JointVerdict, State};

/// So many joints with a story of their own are told of in a screenful.
const TOLD: usize = 4;

const CAUTION: &str =
    "This record is no certificate of roadworthiness. Any doubt goes to a qualified mechanic.";

impl ReadyReport<'_> {
    fn bike(&self) -> &str {
        self.judged.stored.bicycle.name.text()
    }

    /// The verdict on the bicycle, in a line or two; in capitals where it is to be seen from afar.
    pub(super) fn head(&self, style: &Style, large: bool) -> String {
        let fitness = self.judged.verdict.fitness;
        let word = if large { fitness.text().to_uppercase() } else { fitness.text().to_owned() };
        let first = format!("{}: {} ", style.strong(self.bike()), style.decided(fitness.decision(), &word));
        let head = style.wrapped_within(&first, "    ", &format!("({})", fitness_text(fitness, self.judged)));
        match self.judged.stored.bicycle.retired {
            Some(at) => {
                head + &style.wrapped("", &format!("out of use since {}: nobody keeps this up", at.short()))
            }
            None => head,
        }
    }

    /// How much is open.
    fn count(&self) -> String {
        let (open, joints) = (self.deciding.len(), self.judged.joints.len());
        let critical = self.deciding.iter().filter(|open| open.critical).count();
        match (joints, open) {
            (0, _) => "No joint is registered, so nothing is proven.".to_owned(),
            (_, 0) => format!("none of {joints} open"),
            _ => format!("{open} of {joints} open; {critical} (*) decide safety"),
        }
    }

    /// What decides first, each with what is to be done, in at most so many lines.
    pub(super) fn first(&self, style: &Style, room: usize) -> String {
        let mut text = String::new();
        for open in &self.deciding {
            let mut said = style.wrapped(&format!("  {}: ", open.joint), &style.bad(open.verdict));
            said += &style.wrapped("    next: ", &open.next);
            if text.lines().count() + said.lines().count() > room {
                break;
            }
            text += &said;
        }
        text
    }

    /// Where the rest is told, and how old the oldest evidence is.
    pub(super) fn rest(&self, style: &Style) -> String {
        self.age(style) + &style.wrapped("", &format!("{}: `evenclamp ready {}`", self.count(), self.bike()))
    }

    fn age(&self, style: &Style) -> String {
        self.oldest
            .as_ref()
            .map_or_else(String::new, |oldest| style.wrapped("Oldest evidence: ", &oldest_text(oldest)))
    }

    /// A screenful: what is wrong, then what needs the same act together.
    pub(super) fn short_text(&self, style: &Style) -> String {
        let mut text = self.head(style, false) + &style.wrapped("", &self.count());
        text += &self.unexamined(style);
        text += &self.lacking(style);
        let acts: Vec<(NextAct, &Deciding)> = self.acts();
        let of = |act| acts.iter().filter(move |(of, _)| *of == act).map(|(_, open)| *open);
        let alone: Vec<&Deciding> = of(NextAct::Alone).collect();
        text += if alone.is_empty() { "" } else { "\n" };
        for open in alone.iter().take(TOLD) {
            text +=
                &style.wrapped(&format!("{}: {}: ", starred(open), style.bad(open.verdict)), &open.reason);
            text += &style.wrapped("    next: ", &open.next);
        }
        if alone.len() > TOLD {
            let others: Vec<String> = alone[TOLD..].iter().map(|open| starred(open)).collect();
            text += &style.wrapped("", &format!("and {} more: {}", others.len(), others.join(", ")));
        }
        let (noted, asked): (Vec<NextAct>, Vec<NextAct>) = NextAct::TOGETHER
            .into_iter()
            .filter(|act| of(*act).next().is_some())
            .partition(|act| act.is_noted());
        for acts in [noted, asked].into_iter().filter(|acts| !acts.is_empty()) {
            text += "\n";
            for act in &acts {
                let joints: Vec<String> = of(*act).map(starred).collect();
                let title = format!("{} ({}): ", act.title(), joints.len());
                text += &style.wrapped_within(&title, "    ", &joints.join(", "));
            }
            text += &style.wrapped("    next: ", &acts[0].command(self.bike()));
        }
        text += if acts.is_empty() { "" } else { "\n" };
        text += &self.age(style);
        text += &self.remarks(style);
        if !self.deciding.is_empty() || !self.judged.joints.is_empty() {
            let bike = self.bike();
            text +=
                &style.wrapped("", &format!("Every joint with its reason: `evenclamp ready {bike} --all`"));
        }
        text + &style.listed("Caution", &[CAUTION])
    }

    /// What is to be done about each open joint.
    fn acts(&self) -> Vec<(NextAct, &Deciding)> {
        let judged = self.judged.verdict.deciding.iter().filter_map(|&index| self.judged.joints.get(index));
        judged.map(|(joint, verdict)| NextAct::of(joint, verdict)).zip(&self.deciding).collect()
    }

    /// Everything: each open joint with its reason and what is next, the sound ones, and every note.
    pub(super) fn whole_text(&self, style: &Style) -> String {
        let joints = &self.judged.joints;
        let mut text = self.head(style, false) + &style.wrapped("", &self.count());
        text += &self.unexamined(style);
        text += &self.lacking(style);
        text += &self.open(style, true, "Decides safety");
        text += &self.open(style, false, "Does not decide safety");
        let sound = joints.iter().filter(|(_, verdict)| verdict.state() == State::Sound);
        let rows: Vec<Vec<String>> = sound
            .map(|(joint, verdict)| {
                let specified = governing_text(&verdict.governing, self.unit);
                vec![joint.name.to_string(), specified, reason_text(joint, verdict, self.unit)]
            })
            .collect();
        if !rows.is_empty() {
            let rows = records(&["sound", "specified", "evidence"], rows);
            text += &format!("\n{}", columns(&rows, style));
        }
        text += &self.age(style);
        let notes = joints.iter().flat_map(|(joint, verdict)| {
            let Governing { word, notes, .. } = &verdict.governing;
            notes.iter().map(move |note| format!("{} ({word}): {note}", joint.name))
        });
        text += &style.listed("Note", &notes.collect::<Vec<_>>());
        text += &self.remarks(style);
        text + &style.listed("Caution", &[CAUTION])
    }

    /// What must be known beside the joints.
    fn remarks(&self, style: &Style) -> String {
        let mut text = style.listed("Wear", &wear_lines(&self.judged.joints));
        let unknown = self.judged.without_known_wrench().len();
        let unknown = (unknown > 0).then(|| without_wrench_text(unknown));
        let in_future = self.judged.in_future;
        let in_future = (in_future > 0).then(|| format!("{in_future} readings dated after now do not count"));
        text += &style.listed("Note", &unknown.into_iter().chain(in_future).collect::<Vec<_>>());
        let taken_off: Vec<String> = self.judged.taken_off.iter().map(taken_off_text).collect();
        text + &style.listed("Less asked", &taken_off)
    }

    fn unexamined(&self, style: &Style) -> String {
        let Some(open) = &self.judged.unexamined else { return String::new() };
        let bike = self.bike();
        let next = format!(
            "look each over for cracks, dents and bends, then `evenclamp record {bike}/PART --finding fine`; one that \
             is no check of the bicycle yet is added with `evenclamp bike joint add {bike} PART --check function`"
        );
        let text = format!("\n{}", style.wrapped("", &unexamined_text(open)));
        text + &style.wrapped("    next: ", &next)
    }

    /// The hand checks of its kind that the bicycle lacks, and what adds them.
    fn lacking(&self, style: &Style) -> String {
        if self.judged.lacking.is_empty() {
            return String::new();
        }
        let bike = self.bike();
        let next = format!(
            "`evenclamp bike joint add {bike} --missing` adds them, then look at each; what this bicycle has not is taken \
             off again with `evenclamp bike joint remove {bike} CHECK --not-fitted --why …`"
        );
        let text = format!("\n{}", style.wrapped("", &lacking_text(self.judged)));
        text + &style.wrapped("    next: ", &next)
    }

    fn open(&self, style: &Style, critical: bool, title: &str) -> String {
        let open: Vec<&Deciding> = self.deciding.iter().filter(|open| open.critical == critical).collect();
        if open.is_empty() {
            return String::new();
        }
        let mut text = format!("\n{title}\n");
        for open in open {
            let word = style.bad(open.verdict);
            text += &style.wrapped(&format!("  {}: {word}: ", open.joint), &open.reason);
            text += &style.wrapped("    next: ", &open.next);
        }
        text
    }
}

/// The name of a joint, with a star where it decides safety.
fn starred(open: &Deciding) -> String {
    format!("{}{}", open.joint, if open.critical { "*" } else { "" })
}

/// When parts reach their limits, each with its joint.
fn wear_lines(joints: &[(Joint, JointVerdict)]) -> Vec<String> {
    let worn = joints.iter().filter_map(|(joint, verdict)| Some((&joint.name, verdict.wear.as_ref()?)));
    worn.map(|(name, wear)| format!("{name}: {}", wear_text(wear))).collect()
}
