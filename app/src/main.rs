//! The page's program. With the feature `parts`, which `app/serve` turns on, it is taken apart where functions here are marked:
//! what only such a function reaches is in the file that it names. The marks stand here rather than beside the parts so
//! that the program of the worker has none.

#[cfg(not(feature = "parts"))]
fn main() {
    ribline_app::start(ribline_app::parts::at_hand());
}

#[cfg(feature = "parts")]
fn main() {
    ribline_app::start(in_files::FETCH);
}

#[cfg(feature = "parts")]
mod in_files {
    use leptos::wasm_split::{SplitLoaderError, wasm_split};
    use ribline_app::parts::{Fetch, Fetching, Make, Part};
    use ribline_app::reading::Reading;

    /// Each part, and the file that it is in.
    macro_rules! files {
        ($($part:ident in $file:ident by $name:ident;)+) => {
            $(
                #[wasm_split($file, wasm_split_path = leptos::wasm_split, fallible)]
                fn $name() -> Result<Make, SplitLoaderError> {
                    Ok(ribline_app::parts::$name)
                }
            )+

            fn view(part: Part) -> Fetching<Make> {
                Box::pin(async move {
                    match part {
                        $(Part::$part => $name().await.ok()),+
                    }
                })
            }
        };
    }

    #[wasm_split(reading, wasm_split_path = leptos::wasm_split, fallible)]
    fn all_reading() -> Result<Reading, SplitLoaderError> {
        Ok(ribline_app::reading::reading())
    }

    fn reading() -> Fetching<Reading> {
        Box::pin(async { all_reading().await.ok() })
    }

    pub const FETCH: Fetch = Fetch { view, reading };

    files! {
        SetOut in set_out by set_out;
        RecipeDrawing in set_out by recipe_drawing;
        MouldDrawing in set_out by mould_drawing;
        Ribs in ribs by ribs;
        Edge in edge by edge;
        Bench in bench by bench;
        BenchLines in bench by bench_lines;
        CentreNumbers in bench by centre_numbers;
        Teach in teach by teach;
        Replay in teach by replay;
        Class in teach by class;
        Refusal in refusal by refusal;
        Arrival in arrival by arrival;
    }
}
