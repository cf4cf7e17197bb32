//! Which closures clash if they always stand: worked out when first asked for, from what an earlier state
//! knew where there is one.

use std::sync::{Arc, OnceLock};

use gangday_traffic::{Standing, StandingOf};

use super::Prepared;

/// The standing closures of one state.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    own: OnceLock<Arc<Standing>>,
    earlier: Option<Earlier>,
}

/// Those of an earlier state that differs by nothing but its jobs, with where each job stood there; none
/// where it is another now.
#[derive(Clone, Debug)]
struct Earlier {
    standing: Arc<Standing>,
    was: Arc<[Option<usize>]>,
}

impl Kept {
    /// For the state after one in which the jobs stood where `was` says.
    pub fn before(&self, was: &[Option<usize>]) -> Self {
        let of_own = self.own.get().map(|standing| Earlier {
            standing: Arc::clone(standing),
            was: was.into(),
        });
        let of_earlier = || {
            let earlier = self.earlier.as_ref()?;
            let was = was.iter().map(|at| earlier.was[(*at)?]);
            Some(Earlier {
                standing: Arc::clone(&earlier.standing),
                was: was.collect(),
            })
        };
        Self {
            own: OnceLock::new(),
            earlier: of_own.or_else(of_earlier),
        }
    }

    fn of(&self, prepared: &Prepared) -> &Standing {
        self.own.get_or_init(|| {
            let of = StandingOf {
                programme: &prepared.programme,
                take_offs: &prepared.take_offs,
                plane: &prepared.plane,
                rules: &prepared.traffic,
                roads: prepared.roads(),
            };
            Arc::new(match &self.earlier {
                Some(earlier) => earlier.standing.with_jobs(&of, &earlier.was),
                None => Standing::of(&of),
            })
        })
    }
}

impl Prepared {
    /// What jobs take if they always stand, and which two of them clash then.
    #[must_use]
    pub fn standing(&self) -> &Standing {
        self.standing.of(self)
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::{ClashPair, ClosureKind, Programme};
    use proptest::prelude::*;

    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    /// One thing that is done to the jobs: what, to which, and with which other.
    type Deed = (usize, usize, usize);

    fn done(prepared: &Prepared, (what, one, other): Deed, turn: usize) -> Prepared {
        let mut jobs = prepared.programme.jobs.clone();
        let (one, other) = (one % jobs.len(), other % jobs.len());
        let like = jobs[other].clone();
        match what {
            0 => jobs[one].at = like.at,
            1 => jobs[one].closure = Some(ClosureKind::Road),
            2 => jobs[one].closure = None,
            3 => jobs[one].street = like.street,
            4 if jobs.len() > 9 => drop(jobs.remove(one)),
            5 => {
                let mut job = like;
                job.id = format!("X{turn}").as_str().into();
                jobs.insert(one, job);
            }
            6 => jobs[one].id = format!("Y{turn}").as_str().into(),
            7 => jobs.iter_mut().for_each(|job| job.closure = like.closure),
            _ => jobs.swap(one, other),
        }
        prepared.with_jobs(jobs)
    }

    fn anew(prepared: &Prepared) -> Vec<ClashPair> {
        let anew = prepared.with_programme(Programme::clone(&prepared.programme));
        assert!(anew.standing.earlier.is_none());
        anew.standing().pairs().to_vec()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(8))]

        /// Whatever is done to the jobs one after another, and whether or not anybody asks in between.
        #[test]
        fn pairs_after_edits_are_those_worked_out_anew(
            deeds in prop::collection::vec((0..9_usize, any::<usize>(), any::<usize>(), any::<bool>()), 1..12)
        ) {
            let mut prepared = Prepared::clone(&demo::open(DemoWeek::Full).prepared);
            prop_assert!(!prepared.standing().pairs().is_empty());
            for (turn, (what, one, other, asked)) in deeds.into_iter().enumerate() {
                let next = done(&prepared, (what, one, other), turn);
                prop_assert!(next.is_kin_of(&prepared));
                prepared = next;
                if asked {
                    prop_assert_eq!(prepared.standing().pairs(), anew(&prepared));
                }
            }
            prop_assert_eq!(prepared.standing().pairs(), anew(&prepared));
        }
    }

    /// A road that is closed in place of a lane is another's diversion, or lies on it.
    #[test]
    fn an_edit_of_one_job_changes_pairs() {
        let before = Prepared::clone(&demo::open(DemoWeek::Full).prepared);
        let was = before.standing().pairs().to_vec();
        let jobs = 0..before.programme.jobs.len();
        let others = jobs.filter(|job| {
            let after = done(&before, (1, *job, 0), 0);
            after.standing().pairs() != was
        });
        assert!(others.count() > 5);
    }
}
