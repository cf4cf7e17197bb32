//! The whole pack of a plan, file by file: what the client gets, what is ordered, what each gang takes along.

use gangday_model::Plan;

use crate::closures::Public;
use crate::opened::Opened;
use crate::view::Refusal;
use crate::watching::Watch;
use crate::{diary, gang_sheets, order_sheets, pack};

/// What the client page is called.
pub const PAGE_NAME: &str = "works.html";
/// What the calendar is called.
pub const DATES_NAME: &str = "works.ics";

/// Takes each file of the pack, by its name.
pub type Put<'a> = &'a mut dyn FnMut(&str, &[u8]) -> Result<(), Refusal>;

/// Makes every file of the pack and gives it to `put` with its name: the client page, the calendar, an order
/// sheet for each supplier and a sheet for each gang-day.
///
/// # Errors
/// Where it is stopped, or `put` refuses one.
pub fn each_file(
    opened: &Opened,
    plan: &Plan,
    public: &Public,
    watch: Watch<'_>,
    put: Put<'_>,
) -> Result<(), Refusal> {
    watch.begin("Drawing the client page")?;
    let page = pack::client_page(opened, plan, public);
    put(PAGE_NAME, page.as_bytes())?;
    put(DATES_NAME, &crate::calendar::calendar(opened, public))?;
    watch.part(0.2, 0.4).begin("Writing the order sheets")?;
    for (name, sheet) in order_sheets::order_sheets(opened, plan) {
        watch.part(0.4, 0.4).begin("Writing the order sheets")?;
        put(&name, sheet.as_bytes())?;
    }
    let of = plan.routes.len();
    for (at, (name, sheet)) in gang_sheets::each(opened, plan).enumerate() {
        watch
            .part(0.4, 1.0)
            .each((at, of), "Gang-day", "drawn on its sheet")?;
        put(&name, sheet.as_bytes())?;
    }
    Ok(())
}

/// What a folder with the pack of a plan is called: `Pack, issue 1`, or that it is a draft.
#[must_use]
pub fn folder_name(opened: &Opened, plan: &Plan) -> String {
    match diary::number(&opened.diary, plan) {
        Some(number) => format!("Pack, issue {number}"),
        None => "Pack, draft".to_owned(),
    }
}
