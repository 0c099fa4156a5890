//! A number for every subject and wrench that were met together.

/// No number yet.
const NONE: u32 = u32::MAX;

/// Numbers by subject and name of a wrench.
#[derive(Debug, Default)]
pub(super) struct Places {
    by_subject: Vec<Vec<u32>>,
}

impl Places {
    /// The number of a subject and a name, if they have one.
    #[inline]
    pub(super) fn get(&self, subject: u32, name: u32) -> Option<u32> {
        let by_name = self.by_subject.get(subject as usize)?;
        by_name.get(name as usize).copied().filter(|number| *number != NONE)
    }

    /// Gives a subject and a name a number.
    pub(super) fn put(&mut self, subject: u32, name: u32, number: u32) {
        let (subject, name) = (subject as usize, name as usize);
        if self.by_subject.len() <= subject {
            self.by_subject.resize_with(subject + 1, Vec::new);
        }
        let Some(by_name) = self.by_subject.get_mut(subject) else { return };
        if by_name.len() <= name {
            by_name.resize(name + 1, NONE);
        }
        if let Some(place) = by_name.get_mut(name) {
            *place = number;
        }
    }

    /// The numbers of each subject.
    pub(super) fn by_subject(&self) -> impl Iterator<Item = impl Iterator<Item = u32>> {
        self.by_subject.iter().map(|numbers| numbers.iter().copied().filter(|number| *number != NONE))
    }
}
