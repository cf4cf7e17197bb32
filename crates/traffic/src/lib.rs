//! What the public meets: the closure that a job calls for, when it stands, and the ground that it
//! takes. It proposes and explains by published figures; a competent person decides.

mod cautions;
mod closures;
mod clash;
mod codes;
mod control;
mod footprint;
mod holidays;
mod key;
mod kit;
mod notices;
mod propose;
mod rules;
mod street;
mod terms;
mod times;

pub use cautions::{Caution, cautions};
pub use closures::{Examined, Works, closures, examine};
pub use codes::CODES;
pub use holidays::{Holiday, Holidays, easter};
pub use notices::{Edition, NoticeTerms, editions};
pub use propose::{Proposal, propose};
pub use rules::{Rules, shipped_traffic};
pub use terms::street_terms;
