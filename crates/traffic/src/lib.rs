//! What the public meets: the closure that a job calls for, when it stands, and the ground that it
//! takes. It proposes and explains by published figures; a competent person decides.

mod addresses;
mod cautions;
mod clash;
mod closures;
mod codes;
mod control;
mod cut_off;
mod diversion;
mod footprint;
mod holidays;
mod key;
mod kit;
mod names;
mod notices;
mod propose;
mod rules;
mod street;
mod terms;
mod times;

pub use cautions::{Caution, cautions};
pub use clash::{
    Along, Asked, CLASHES, ClashLimits, Pair, Party, Standing, StandingOf, clash_between,
    find_clashes,
};
pub use closures::{Examined, Works, closures, examine};
pub use codes::CODES;
pub use control::{ARRANGEMENT_CAUTION, name as control_name, on_foot_name};
pub use diversion::{Roads, Rounds, diversions};
pub use holidays::{Holiday, Holidays, easter};
pub use kit::without_ways_round;
pub use names::{StreetNames, UNNAMED};
pub use notices::{Edition, NoticeTerms, editions};
pub use propose::{Proposal, propose};
pub use rules::{Rules, shipped_traffic};
pub use times::Beyond;
