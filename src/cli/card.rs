//! `card`: a job card for the bench, on paper.

use std::path::PathBuf;

use clap::Args;

use super::target::any_bicycle;
use super::tool::{registered, standing_doubt};
use super::{Answer, Context, Decision, Failure, clock};
use crate::report::{CardReport, card_html};
use crate::words::{Outlet, visible};

/// Make a job card for paper: every joint with a box for each bolt to write in
///
/// The HTML file needs nothing else: open it in a browser, offline, and print it.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  evenclamp card loan-7
  evenclamp card loan-7 --html loan-7.html --wrench small-click")]
pub(super) struct CardArgs {
    /// The bicycle
    bike: String,
    /// Write it as HTML, made for A4 or Letter paper
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Give settings for this registered wrench
    #[arg(long, value_name = "NAME")]
    wrench: Option<String>,
}

pub(super) fn answer(args: &CardArgs, context: &Context) -> Result<Answer, Failure> {
    let store = context.store_with_book()?;
    let stored = any_bicycle(&store, &args.bike)?;
    let wrench = args.wrench.as_deref().map(|name| registered(&store, name)).transpose()?;
    let (workshop, judged) = store.judge(&stored, clock::now()?)?;
    let doubt = wrench.as_ref().and_then(standing_doubt);
    let card = CardReport::new(&judged, &workshop, (wrench.as_ref(), doubt), context.unit);
    match &args.html {
        Some(file) => {
            super::file::write_whole(
                file,
                visible(&card_html(&card), Outlet::Text { coloured: false }).as_bytes(),
            )?;
            context.say(format!("the card is in {}", file.display()));
            Ok(Answer::text(String::new()))
        }
        None => Answer::of(&card, context, Decision::Good),
    }
}
