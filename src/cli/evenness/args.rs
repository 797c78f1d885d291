/// To come.
#[derive(Debug, clap::Args)]
pub struct Args {}
