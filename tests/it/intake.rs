//! Folders to archives, or to every fault.

use crate::folder::{DAY, accepted, also, archive, faults, files, only_fault, with, with_line};
use likewear::facade::catalogue::{MethodId, Value};
use likewear::facade::intake::{ArchiveFiles, read_folder, write_folder};
use likewear::facade::records::{Archive, RunResult};
use proptest::prelude::*;

fn results(archive: &Archive, quantity: &str) -> Vec<RunResult> {
    let of_it = archive
        .results
        .iter()
        .filter(|result| result.key.quantity == quantity);
    of_it.cloned().collect()
}

#[test]
fn a_sound_folder_is_read_with_every_value_as_its_quantity_understands_it() {
    let archive = archive();
    assert_eq!(archive.blends.len(), 4);
    assert_eq!(archive.blends[1].note, "two lines,\nand a comma");
    assert_eq!(archive.blends[3].composition.len(), 2);
    assert_eq!(archive.machines[0].contacts[0].secondary_modes.len(), 2);
    let methods = archive.rigs[0].methods.iter().map(MethodId::as_str);
    assert_eq!(methods.collect::<Vec<_>>(), ["own_bench", "fb_ep_oil"]);
    assert_eq!(archive.trials[0].tests.len(), 3);
    assert_eq!(results(&archive, "depth")[1].value, Value::Exact(20.5));
    let loads = results(&archive, "load");
    assert_eq!(loads[0].value, Value::Between { lo: 160.0, hi: 200.0 });
    assert_eq!(loads[1].value, Value::Above(250.0));
    assert_eq!(results(&archive, "colour")[0].value, Value::Class("1b".into()));
}

#[test]
fn where_a_result_came_from_is_kept_with_it() {
    assert_eq!(archive().results[2].origin, "results.csv line 4");
}

#[test]
fn a_missing_file_means_none_of_those() {
    let mut some = files();
    for name in ["outcomes.csv", "readings.csv", "decisions.csv"] {
        some.remove(name);
    }
    assert!(accepted(&some).archive.outcomes.is_empty());
}

#[test]
fn a_byte_order_mark_carriage_returns_and_blank_lines_do_no_harm() {
    let mut other = files();
    let text = String::from_utf8(other["rigs.csv"].clone())
        .unwrap()
        .replace('\n', "\r\n\r\n");
    other.insert("rigs.csv".into(), [b"\xef\xbb\xbf", text.as_bytes()].concat());
    assert_eq!(accepted(&other).archive, archive());
    let faulty = also(other, "rigs.csv", "own_bench", "own_bank");
    assert_eq!(only_fault(&faulty).line, 3);
}

#[test]
fn every_fault_of_a_folder_is_listed_by_file_line_column_and_text() {
    let mut bad = with(
        "blends.csv",
        "GOOD,known good,oil,2024-01-10",
        "GOOD,known good,fuel,2024-02-30",
    );
    bad = also(bad, "blends.csv", "220,19.5", "-220,nineteen");
    bad = also(bad, "composition.csv", "B-1,additive B,2.5", "B-1,additive Z,2.5");
    bad = also(bad, "contacts.csv", "scuffing; micropitting", "scuffing; boredom");
    bad = also(
        bad,
        "trials.csv",
        "running,2024-01-05,,",
        "running,2024-01-05,2023-12-31,",
    );
    bad = also(bad, "trial_methods.csv", "<= 1b", "<= 9z");
    bad = also(bad, "results.csv", "depth,5.5,um", "depth,\"1,234\",um");
    bad = also(bad, "results.csv", "depth,9,um", "depth,9,kgf");
    bad = also(bad, "results.csv", "depth,8.5,um", "depth,,um");
    bad = also(bad, "results.csv", "B-1,own_bench,load", "B-9,own_bench,load");
    let expected = [
        "blends.csv:2:kind:fuel",
        "blends.csv:2:kv100_mm2_s:nineteen",
        "blends.csv:2:kv40_mm2_s:-220",
        "blends.csv:2:made_on:2024-02-30",
        "composition.csv:3:component:additive Z",
        "contacts.csv:2:secondary_modes:scuffing; boredom",
        "results.csv:2:value:1,234",
        "results.csv:4:unit:kgf",
        "results.csv:5:value:",
        "results.csv:8:blend:B-9",
        "trial_methods.csv:4:limit:<= 9z",
        "trials.csv:2:closed_on:2023-12-31",
    ];
    assert_eq!(faults(&bad), expected);
}

#[test]
fn a_faulty_definition_does_not_make_everything_that_names_it_faulty_too() {
    let bad = with("blends.csv", "GOOD,known good,oil", "GOOD,known good,fuel");
    assert_eq!(faults(&bad), ["blends.csv:2:kind:fuel"]);
    let bad = with("method_quantities.csv", "Wear depth,um", "Wear depth,furlong");
    assert_eq!(faults(&bad), ["method_quantities.csv:2:unit:furlong"]);
    let bad = with(
        "method_quantities.csv",
        "slow-speed wear=1,3,6",
        "slow-speed wear=1,,6",
    );
    assert_eq!(faults(&bad), ["method_quantities.csv:2:r:"]);
    let bad = with("methods.csv", "oil,II", "fuel,VIII");
    assert_eq!(
        faults(&bad),
        ["methods.csv:2:category:VIII", "methods.csv:2:lubricant:fuel"]
    );
    let bad = with("blends.csv", "blend,name,kind", "code,name,kind");
    let expected = ["blends.csv:1:blend:", "blends.csv:1:code:code"];
    assert_eq!(faults(&bad), expected);
}

#[test]
fn several_faults_of_one_quantity_are_all_listed() {
    let bad = with(
        "method_quantities.csv",
        "um,lower,identity,,,exact,slow-speed wear=1",
        "furlong,sideways,identity,,,perhaps,boredom=7",
    );
    let expected = [
        "method_quantities.csv:2:better:sideways",
        "method_quantities.csv:2:modes:boredom=7",
        "method_quantities.csv:2:plain_number_is:perhaps",
        "method_quantities.csv:2:unit:furlong",
    ];
    assert_eq!(faults(&bad), expected);
}

#[test]
fn an_undefined_name_is_a_fault_wherever_it_stands() {
    for (file, from, to, column) in [
        ("blends.csv", "2024-03-01,B-1", "2024-03-01,B-0", "parent"),
        ("contacts.csv", "drive,bearing", "drove,bearing", "machine"),
        (
            "method_quantities.csv",
            "own_bench,load",
            "own_bank,load",
            "method",
        ),
        (
            "rigs.csv",
            "R-1,Rig one,Laboratory A,own_bench; fb_ep_oil",
            "R-1,Rig one,Laboratory A,own_bank",
            "methods",
        ),
        ("rigs.csv", ",GOOD", ",BETTER", "reference_blend"),
        ("trials.csv", ",drive,", ",drove,", "machine"),
        ("trial_blends.csv", "slow-drive,B-2", "slow-drive,B-3", "blend"),
        (
            "trial_methods.csv",
            "own_bench,depth",
            "own_bench,width",
            "quantity",
        ),
        (
            "trial_methods.csv",
            "depth,weigh,,,",
            "depth,weigh,,BETTER,",
            "known_good",
        ),
        ("results.csv", "slow-drive,GOOD", "fast-drive,GOOD", "trial"),
        ("results.csv", "own_bench,depth", "own_bank,depth", "method"),
        ("results.csv", "own_bench,depth", "own_bench,width", "quantity"),
        ("results.csv", "um,R-1", "um,R-2", "rig"),
        ("outcomes.csv", "GOOD,drive", "GOOD,drove", "machine"),
        ("readings.csv", "GOOD,own_bench", "GOOD,own_bank", "method"),
        ("decisions.csv", "2024-06-01,none", "2024-06-01,B-9", "chosen"),
    ] {
        let places: Vec<String> = faults(&with(file, from, to));
        let expected = format!("{file}:");
        let hit = places
            .iter()
            .any(|place| place.starts_with(&expected) && place.contains(&format!(":{column}:")));
        assert!(hit, "{file} {column}: {places:?}");
    }
}

#[test]
fn a_word_outside_a_closed_list_is_refused_with_the_list() {
    let fault = only_fault(&with("trials.csv", "running", "going on"));
    assert_eq!(
        (fault.column.as_str(), fault.text.as_str()),
        ("status", "going on")
    );
    assert_eq!(fault.problem, "use one of: planned, running, decided, closed");
    let kinds =
        "trial,date,chosen,reason,dissent,acknowledged,snapshot,kind\nslow-drive,2024-06-01,none,,,,,later\n";
    let mut folder = files();
    folder.insert("decisions.csv".into(), kinds.into());
    let fault = only_fault(&folder);
    assert_eq!((fault.column.as_str(), fault.text.as_str()), ("kind", "later"));
    assert!(
        fault
            .problem
            .contains("scale up, hold, drop, iterate, no choice yet")
    );
    let fault = only_fault(&with("outcomes.csv", "slight", "a bit"));
    assert!(fault.problem.contains("none, slight, failure"));
    let fault = only_fault(&with("contacts.csv", "drive,mesh,stated", "drive,mesh,guessed"));
    assert_eq!(
        (fault.column.as_str(), fault.text.as_str()),
        ("preset", "guessed")
    );
    assert!(fault.problem.contains("stated"));
}

#[test]
fn contact_parameters_that_cannot_be_read_are_refused_in_their_cell() {
    for (to, words) in [
        ("{\"\"shape\"\":\"\"line\"\"", "parameters"),
        ("{\"\"shape\"\":\"\"blob\"\"}", "line"),
        ("{\"\"pressure\"\":1}", "no parameter"),
        ("{\"\"sliding_m_s\"\":[2,1]}", "reversed"),
    ] {
        let fault = only_fault(&with("contacts.csv", "{\"\"shape\"\":\"\"line\"\"}", to));
        assert_eq!((fault.line, fault.column.as_str()), (3, "parameters"));
        assert!(fault.problem.contains(words), "{}", fault.problem);
    }
}

#[test]
fn columns_missing_unknown_or_doubled_are_faults_of_the_header() {
    let bad = with(
        "rigs.csv",
        "rig,name,lab,methods,reference_blend",
        "rig,name,lab,lab,blend",
    );
    let expected = [
        "rigs.csv:1:blend:blend",
        "rigs.csv:1:lab:lab",
        "rigs.csv:1:methods:",
        "rigs.csv:1:reference_blend:",
    ];
    assert_eq!(faults(&bad), expected);
}

#[test]
fn a_base_period_has_two_days_in_order_or_none() {
    let header = (
        "rig,name,lab,methods,reference_blend",
        "rig,name,lab,methods,reference_blend,base_from,base_to",
    );
    let with_days = |days: &str| {
        let row = format!("fb_ep_oil,GOOD,{days}");
        also(
            with("rigs.csv", header.0, header.1),
            "rigs.csv",
            "fb_ep_oil,GOOD",
            &row,
        )
    };
    let read = |days: &str| accepted(&with_days(days)).archive.rigs[0].base_period;
    assert_eq!(read(","), None);
    assert_eq!(archive().rigs[0].base_period, None);
    let base = read("2024-04-01,2024-04-30").unwrap();
    assert_eq!(
        (base.from().to_string(), base.to().to_string()),
        ("2024-04-01".into(), "2024-04-30".into())
    );
    for (days, column, words) in [
        ("2024-04-01,", "base_to", "write both"),
        (",2024-04-01", "base_from", "write both"),
        ("2024-04-02,2024-04-01", "base_to", "before the first day"),
        ("2024-04-02,later", "base_to", "not a date"),
    ] {
        let fault = only_fault(&with_days(days));
        assert_eq!((fault.line, fault.column.as_str()), (2, column), "{days}");
        assert!(fault.problem.contains(words), "{}", fault.problem);
    }
    // what is written is read again
    let written = with_days("2024-04-01,2024-04-30");
    let again = write_folder(&accepted(&written).archive).unwrap();
    assert_eq!(accepted(&again).archive, accepted(&written).archive);
}

#[test]
fn an_unknown_file_is_refused_and_other_kinds_of_file_are_left_alone() {
    let mut more = files();
    more.insert("README.md".into(), b"words".to_vec());
    assert!(read_folder(&more, DAY).is_ok());
    more.insert("result.csv".into(), b"a,b\n".to_vec());
    let fault = only_fault(&more);
    assert_eq!((fault.file.as_str(), fault.line), ("result.csv", 0));
    assert!(fault.problem.contains("results.csv"));
}

#[test]
fn a_folder_without_any_archive_file_is_refused() {
    let empty = ArchiveFiles::new();
    assert!(only_fault(&empty).problem.contains("results.csv"));
}

#[test]
fn ragged_rows_and_bytes_that_are_no_text_are_refused_with_their_line() {
    let fault = only_fault(&with("rigs.csv", "R-1,Rig one,", "R-1,"));
    assert_eq!((fault.line, fault.column.as_str()), (2, ""));
    assert!(fault.problem.contains("4 cells"), "{}", fault.problem);
    let mut bad = files();
    let text = bad["rigs.csv"].clone();
    let at = text.windows(7).position(|bytes| bytes == b"Rig one").unwrap();
    let bytes = bad.get_mut("rigs.csv").unwrap();
    bytes[at + 3] = 0xe9;
    let fault = only_fault(&bad);
    assert_eq!((fault.line, fault.column.as_str()), (2, "name"));
    assert!(fault.problem.contains("UTF-8"));
}

#[test]
fn the_same_key_twice_is_refused_with_the_line_of_the_first() {
    for (file, line) in [
        ("components.csv", "base A,again,"),
        ("composition.csv", "B-1,base A,0"),
        ("machines.csv", "drive,again,,,"),
        ("rigs.csv", "R-1,again,,,"),
        ("trials.csv", "slow-drive,again,?,drive,running,,,low,yes"),
        ("trial_blends.csv", "slow-drive,GOOD,control,"),
        ("trial_methods.csv", "slow-drive,own_bench,depth,show,,,,,,"),
        (
            "results.csv",
            "slow-drive,GOOD,own_bench,depth,7,um,R-1,2024-04-01,1,,,test,valid,,measured,",
        ),
        (
            "readings.csv",
            "slow-drive,GOOD,own_bench,R-1,2024-04-01,1,tooth 1,depth,9,um",
        ),
        ("decisions.csv", "slow-drive,2024-06-01,none,again,,,"),
    ] {
        let fault = only_fault(&with_line(files(), file, line));
        assert!(fault.problem.contains("in line 2 already"), "{file}: {fault}");
    }
}

#[test]
fn what_people_write_for_not_run_is_refused_with_the_mend() {
    for text in ["", "-", "n/a"] {
        let fault = only_fault(&with("results.csv", "depth,5.5,um", &format!("depth,{text},um")));
        assert_eq!(fault.problem, "says not run: leave the row out");
    }
}

#[test]
fn values_that_the_quantity_cannot_have_are_refused() {
    for (to, column) in [
        ("depth,-5.5,um", "value"),
        ("depth,5.5,kgf", "unit"),
        ("depth,5.5,furlong", "unit"),
        ("depth,5.5,", "unit"),
        ("depth,deep,um", "value"),
        ("depth,5.5 mm,um", "unit"),
        ("depth,9-3,um", "value"),
        ("depth,1e15,um", "value"),
        ("colour,3c,class", "value"),
    ] {
        let fault = only_fault(&with("results.csv", "depth,5.5,um", to));
        assert_eq!((fault.line, fault.column.as_str()), (2, column), "{to}: {fault}");
    }
}

#[test]
fn a_run_that_was_stopped_for_cause_needs_no_value() {
    let stopped = also(
        with("results.csv", "depth,5.5,um", "depth,,um"),
        "results.csv",
        "test,valid,,measured",
        "stopped,valid,,measured",
    );
    assert_eq!(accepted(&stopped).archive.results[0].value, Value::Stopped);
    let fault = only_fault(&with("results.csv", "depth,5.5,um", "depth,stopped,um"));
    assert_eq!(fault.column, "value");
}

#[test]
fn a_void_or_suspect_result_without_a_reason_is_refused() {
    let fault = only_fault(&with("results.csv", "void,wrong oil", "void,"));
    assert_eq!((fault.line, fault.column.as_str()), (6, "reason"));
    let fault = only_fault(&with("results.csv", "suspect,oil level low", "suspect,"));
    assert_eq!((fault.line, fault.column.as_str()), (5, "reason"));
}

#[test]
fn shares_lie_between_0_and_1_and_sum_to_1() {
    let fault = only_fault(&with("contacts.csv", ",0.6,", ",1.6,"));
    assert_eq!((fault.line, fault.column.as_str()), (2, "share"));
    let fault = only_fault(&with("contacts.csv", ",0.6,", ",0.5,"));
    assert!(fault.problem.contains("sum to 0.900"), "{fault}");
}

#[test]
fn a_composition_off_100_is_a_warning_and_no_fault() {
    let off = accepted(&with("composition.csv", "B-1,base A,97.5", "B-1,base A,95"));
    assert_eq!(off.warnings.len(), 1);
    assert!(off.warnings[0].problem.contains("97.50 wt%"));
    let close = accepted(&with("composition.csv", "B-1,base A,97.5", "B-1,base A,97"));
    assert!(close.warnings.is_empty());
}

#[test]
fn a_trial_has_one_known_good_and_one_known_poor() {
    let fault = only_fault(&with(
        "trial_blends.csv",
        "POOR,reference,known-poor",
        "POOR,reference,known-good",
    ));
    assert_eq!((fault.line, fault.column.as_str()), (3, "level"));
    let fault = only_fault(&with(
        "trial_blends.csv",
        "B-1,candidate,",
        "B-1,candidate,known-middle",
    ));
    assert!(fault.problem.contains("reference"));
}

#[test]
fn a_line_of_parents_does_not_lead_back_to_the_blend() {
    let circle = with(
        "blends.csv",
        "B-1,first try,oil,2024-02-01,",
        "B-1,first try,oil,2024-02-01,B-2",
    );
    let expected = ["blends.csv:5:parent:B-2", "blends.csv:6:parent:B-1"];
    assert_eq!(faults(&circle), expected);
}

#[test]
fn corrections_follow_one_another_and_stay_with_their_run() {
    let header = "reason,source,note";
    let with_history = |second: &str| {
        let mut history = ArchiveFiles::new();
        history.clone_from(&files());
        let text = String::from_utf8(history["results.csv"].clone()).unwrap();
        let head = text
            .lines()
            .next()
            .unwrap()
            .replace(header, "reason,source,note,id,supersedes");
        let row = |value: &str, tail: &str| {
            format!(
                "slow-drive,GOOD,own_bench,depth,{value},um,R-1,2024-04-01,1,,,test,valid,,measured,,{tail}"
            )
        };
        let lines = [head, row("5.5", "1,"), row("5.6", second)].join("\n");
        history.insert("results.csv".into(), lines.into_bytes());
        history
    };
    let corrected = accepted(&with_history("2,1")).archive;
    assert_eq!(corrected.results[1].supersedes, Some(1));
    for (second, column) in [
        ("2,", "replicate"),
        ("2,7", "supersedes"),
        ("1,1", "id"),
        ("2,2", "supersedes"),
    ] {
        let faults = read_folder(&with_history(second), DAY).expect_err(second);
        assert!(
            faults.iter().any(|fault| fault.column == column),
            "{second}: {faults:?}"
        );
    }
}

#[test]
fn what_is_written_reads_back_as_the_same_archive() {
    let archive = archive();
    let written = write_folder(&archive).unwrap();
    assert_eq!(accepted(&written).archive, archive);
    assert_eq!(written.len(), 17);
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_is_written_with_an_apostrophe() {
    let written = write_folder(&archive()).unwrap();
    let text = String::from_utf8(written["results.csv"].clone()).unwrap();
    assert!(text.contains(",'=not a formula,"));
}

#[test]
fn the_demo_is_a_folder_without_a_fault() {
    let mut demo = ArchiveFiles::new();
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/demo-data")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        demo.insert(name, std::fs::read(path).unwrap());
    }
    let demo = accepted(&demo);
    assert!(demo.archive.trials.iter().all(|trial| trial.invented));
    assert!(demo.archive.results.len() > 500);
}

proptest! {
    /// Free text of any kind goes out and comes back unchanged.
    #[test]
    fn texts_survive_the_way_through_a_file(note in "(?s).{0,40}", name in "['=+@\",;\n\r -]{0,6}") {
        prop_assume!(!note.contains('\0'));
        let mut archive = archive();
        archive.blends[0].note = note;
        archive.blends[0].name = name;
        let back = accepted(&write_folder(&archive).unwrap()).archive;
        prop_assert_eq!(back, archive);
    }

    /// Whatever stands in a file, the reader returns.
    #[test]
    fn no_bytes_make_the_reader_fall(bytes in proptest::collection::vec(any::<u8>(), 0..200), which in 0usize..15) {
        let mut broken = files();
        let name = broken.keys().nth(which).unwrap().clone();
        let half = broken[&name].len() / 2;
        let mut mixed = broken[&name][..half].to_vec();
        mixed.extend_from_slice(&bytes);
        broken.insert(name, mixed);
        let _ = read_folder(&broken, DAY);
    }
}

#[test]
fn an_id_that_no_method_can_have_is_refused_once_where_it_stands() {
    let long = "x".repeat(121);
    for id in ["", long.as_str()] {
        for (file, row) in [
            ("trial_methods.csv", "slow-drive,own_bench,depth"),
            ("results.csv", "slow-drive,GOOD,own_bench,depth,5.5"),
        ] {
            let fault = only_fault(&with(file, row, &row.replace("own_bench", id)));
            assert_eq!(
                (fault.file.as_str(), fault.line, fault.text.as_str()),
                (file, 2, id)
            );
            assert!(fault.problem.contains("is not a method"), "{}", fault.problem);
        }
    }
}
