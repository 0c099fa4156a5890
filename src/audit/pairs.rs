//! Pairs of what is judged and the name of a wrench, numbered as they are met.

/// No number yet.
const NONE: u32 = u32::MAX;

/// The numbers of pairs.
#[derive(Debug, Default)]
pub(super) struct Pairs {
    /// By subject and name.
    by_subject: Vec<Vec<u32>>,
}

impl Pairs {
    /// The number of a pair, if it has one.
    #[inline]
    pub(super) fn get(&self, subject: u32, name: u32) -> Option<u32> {
        let by_name = self.by_subject.get(subject as usize)?;
        by_name.get(name as usize).copied().filter(|number| *number != NONE)
    }

    /// Gives a pair its number.
    pub(super) fn put(&mut self, subject: u32, name: u32, number: u32) {
        let (subject, name) = (subject as usize, name as usize);
        if self.by_subject.len() <= subject {
            self.by_subject.resize_with(subject + 1, Vec::new);
        }
        let Some(by_name) = self.by_subject.get_mut(subject) else { return };
        if by_name.len() <= name {
            by_name.resize(name + 1, NONE);
        }
        if let Some(known) = by_name.get_mut(name) {
            *known = number;
        }
    }

    /// The numbers of the pairs of each subject.
    pub(super) fn by_subject(&self) -> impl Iterator<Item = impl Iterator<Item = u32>> {
        self.by_subject.iter().map(|numbers| numbers.iter().copied().filter(|number| *number != NONE))
    }
}
