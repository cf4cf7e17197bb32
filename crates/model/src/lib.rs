//! The nouns of a street-works programme. No input or output, no clock, no formula with a constant
//! in it: those live in the rooms that use these types.

mod arrangement;
mod clash;
mod closure;
mod curing;
mod finding;
mod gang;
mod ids;
mod job;
mod network;
mod notice;
mod order;
mod parameter;
mod place;
mod plan;
mod programme;
mod stage;
mod street;
mod takeoff;
mod units;
mod weather;
mod week;

pub use arrangement::{
    Arrangement, Band, BandKind, Control, KitLine, OnFoot, Ruling, Verdict, WidthLeft,
};
pub use clash::{Barred, Clash, ClashKind, ClashPair, ClashWeight, Diversion, WayRound};
pub use closure::Closure;
pub use curing::{CureTimes, NOT_THAT_DAY};
pub use finding::{Finding, Place, Severity};
pub use gang::{Gang, Tip};
pub use ids::{GangId, JobId, StreetId, TipId};
pub use job::{ClosureKind, Hours, Job, LoadClass, Position, Sizes, Work};
pub use network::{Address, Link, LinkClass, Network, NetworkSource, Passage, Turn};
pub use notice::{Notice, NoticeStep, WorksCategory};
pub use order::{MaterialLine, Order, Packs, Supply};
pub use parameter::{Parameter, ParameterTable};
pub use place::{LonLat, PlanePoint};
pub use plan::{
    Bound, Change, ChangeKind, Costs, Halt, HaltKind, Plan, Reason, Route, Unplanned, Visit,
    VisitStatus,
};
pub use programme::Programme;
pub use stage::{JobWork, Stage, StageWork, Wait, WaitKind};
pub use street::Street;
pub use takeoff::{DigShape, Layer, Levels, TakeOff, Volumes};
pub use units::{CubicMillimetres, Mass, Millimetres, Pence, Seconds, SquareMillimetres};
pub use weather::DayTemperature;
pub use week::{Nation, Week, date_in_words, day_in_words};
