//! A small archive folder, invented throughout, and changes to it.

use likewear::facade::intake::{Accepted, ArchiveFiles, Fault, read_folder};
use likewear::facade::records::Archive;
use std::path::Path;

/// The day on which the folders of these tests are read: none of their runs lies ahead of it.
pub(crate) const DAY: jiff::civil::Date = jiff::civil::date(2026, 11, 24);

const FILES: &[(&str, &[&str])] = &[
    (
        "components.csv",
        &[
            "component,class,note",
            "base A,base stock group IV,",
            "additive B,antiwear,",
        ],
    ),
    (
        "blends.csv",
        &[
            "blend,name,kind,made_on,parent,change,kv40_mm2_s,kv100_mm2_s,density15_kg_m3,base_oil_kv40_mm2_s,nlgi,note",
            "GOOD,known good,oil,2024-01-10,,,220,19.5,880,,,",
            "POOR,known poor,oil,2024-01-10,,,218,19,,,,\"two lines,\nand a comma\"",
            "B-1,first try,oil,2024-02-01,,,,,,,,",
            "B-2,second try,oil,2024-03-01,B-1,less of the additive,,,,,,",
        ],
    ),
    (
        "composition.csv",
        &[
            "blend,component,wt_pct",
            "B-1,base A,97.5",
            "B-1,additive B,2.5",
            "B-2,base A,98.8",
            "B-2,additive B,1.2",
        ],
    ),
    (
        "machines.csv",
        &[
            "machine,name,kind,note,caution",
            "drive,A slow drive,gear drive,,not a real machine",
        ],
    ),
    (
        "contacts.csv",
        &[
            "machine,contact,preset,parameters,share,main_modes,secondary_modes,minor_modes",
            "drive,mesh,stated,\"{\"\"shape\"\":\"\"line\"\",\"\"max_pressure_pa\"\":[0.7e9,1.5e9],\"\"sliding_m_s\"\":[0,0.12],\"\"slide_roll\"\":[0,1.2],\"\"materials\"\":\"\"hard steel/hard steel\"\"}\",0.6,slow-speed wear,scuffing; micropitting,",
            "drive,bearing,stated,\"{\"\"shape\"\":\"\"line\"\"}\",0.4,rolling wear,,cage wear",
        ],
    ),
    (
        "methods.csv",
        &[
            "method,title,standard,based_on,lubricant,category,contacts,cost,days,caution,note",
            "own_bench,Own bench,in-house,,oil,II,\"[{\"\"shape\"\":\"\"line\"\",\"\"max_pressure_pa\"\":[0.7e9,1.5e9],\"\"sliding_m_s\"\":[0,0.12],\"\"slide_roll\"\":[0,1.2],\"\"materials\"\":\"\"hard steel/hard steel\"\"}]\",900,3,none known,",
        ],
    ),
    (
        "method_quantities.csv",
        &[
            "method,quantity,label,unit,better,scale,steps,cap,plain_number_is,modes,r,R,precision_kind,level,mark",
            "own_bench,depth,Wear depth,um,lower,identity,,,exact,slow-speed wear=1,3,6,constant,,ours",
            "own_bench,load,Failure load,kgf,higher,ladder,100;126;160;200;250,250,failure,scuffing=1,1,2,steps,,ours",
            "own_bench,colour,Colour of the bush,class,lower,class,1a;1b;2a,,exact,copper corrosion=1,,,constant,,ours",
        ],
    ),
    (
        "rigs.csv",
        &[
            "rig,name,lab,methods,reference_blend",
            "R-1,Rig one,Laboratory A,own_bench; fb_ep_oil,GOOD",
        ],
    ),
    (
        "trials.csv",
        &[
            "trial,title,question,machine,status,opened_on,closed_on,machine_confidence,invented",
            "slow-drive,Slow drive,Which blend wears less?,drive,running,2024-01-05,,medium,yes",
        ],
    ),
    (
        "trial_blends.csv",
        &[
            "trial,blend,role,level",
            "slow-drive,GOOD,reference,known-good",
            "slow-drive,POOR,reference,known-poor",
            "slow-drive,B-1,candidate,",
            "slow-drive,B-2,candidate,",
        ],
    ),
    (
        "trial_methods.csv",
        &[
            "trial,method,quantity,use,limit,known_good,known_poor,cost,days,reason",
            "slow-drive,own_bench,depth,weigh,,,,,,slow wear is what fails",
            "slow-drive,own_bench,load,show,,,,,,",
            "slow-drive,own_bench,colour,gate,<= 1b,,,,,bronze bush",
        ],
    ),
    (
        "results.csv",
        &[
            "trial,blend,method,quantity,value,unit,rig,date,replicate,campaign,conditions,purpose,status,reason,source,note",
            "slow-drive,GOOD,own_bench,depth,5.5,um,R-1,2024-04-01,1,2024Q2,,test,valid,,measured,",
            "slow-drive,POOR,own_bench,depth,\"20,5\",um,R-1,2024-04-04,1,2024Q2,,test,valid,,measured,",
            "slow-drive,B-1,own_bench,depth,9,um,R-1,2024-04-07,1,2024Q2,,test,valid,,measured,",
            "slow-drive,B-1,own_bench,depth,8.5,um,R-1,2024-04-07,2,2024Q2,,test,suspect,oil level low,measured,",
            "slow-drive,B-2,own_bench,depth,7,um,R-1,2024-04-10,1,2024Q2,,test,void,wrong oil,measured,",
            "slow-drive,B-2,own_bench,depth,6.5,um,R-1,2024-04-11,1,2024Q2,,test,valid,,measured,=not a formula",
            "slow-drive,B-1,own_bench,load,1961,N,R-1,2024-04-12,1,2024Q2,,test,valid,,measured,",
            "slow-drive,B-2,own_bench,load,> 250,kgf,R-1,2024-04-12,1,2024Q2,,test,valid,,measured,",
            "slow-drive,B-2,own_bench,colour,1b,class,,,1,,,test,valid,,data sheet,",
        ],
    ),
    (
        "outcomes.csv",
        &[
            "blend,machine,date,hours,mode,severity,source,note",
            "GOOD,drive,2024-12-01,4000,slow-speed wear,slight,service report,",
        ],
    ),
    (
        "readings.csv",
        &[
            "trial,blend,method,rig,date,replicate,position,kind,value,unit",
            "slow-drive,GOOD,own_bench,R-1,2024-04-01,1,tooth 1,depth,5.4,um",
            "slow-drive,GOOD,own_bench,R-1,2024-04-01,1,tooth 2,depth,5.6,um",
        ],
    ),
    (
        "decisions.csv",
        &[
            "trial,date,chosen,reason,dissent,acknowledged,snapshot",
            "slow-drive,2024-06-01,none,more runs first,,,",
        ],
    ),
];

/// The files of the small archive.
pub(crate) fn files() -> ArchiveFiles {
    let text = |lines: &[&str]| format!("{}\n", lines.join("\n")).into_bytes();
    FILES
        .iter()
        .map(|(name, lines)| (name.to_string(), text(lines)))
        .collect()
}

/// The files with one text in one of them changed; the text must be there.
pub(crate) fn with(file: &str, from: &str, to: &str) -> ArchiveFiles {
    also(files(), file, from, to)
}

/// One more change.
pub(crate) fn also(mut files: ArchiveFiles, file: &str, from: &str, to: &str) -> ArchiveFiles {
    let text = String::from_utf8(files[file].clone()).unwrap();
    assert!(text.contains(from), "{file} does not hold '{from}'");
    files.insert(file.to_string(), text.replacen(from, to, 1).into_bytes());
    files
}

/// The files with a line more in one of them.
pub(crate) fn with_line(mut files: ArchiveFiles, file: &str, line: &str) -> ArchiveFiles {
    let bytes = files.get_mut(file).unwrap();
    bytes.extend_from_slice(line.as_bytes());
    bytes.push(b'\n');
    files
}

pub(crate) fn accepted(files: &ArchiveFiles) -> Accepted {
    match read_folder(files, DAY) {
        Ok(accepted) => accepted,
        Err(faults) => panic!("{faults:#?}"),
    }
}

pub(crate) fn archive() -> Archive {
    accepted(&files()).archive
}

/// The faults of a folder as `file:line:column:text`.
pub(crate) fn faults(files: &ArchiveFiles) -> Vec<String> {
    let place = |f: &Fault| format!("{}:{}:{}:{}", f.file, f.line, f.column, f.text);
    read_folder(files, DAY)
        .err()
        .unwrap_or_default()
        .iter()
        .map(place)
        .collect()
}

/// The one fault of a folder.
pub(crate) fn only_fault(files: &ArchiveFiles) -> Fault {
    let mut found = read_folder(files, DAY).expect_err("the folder should be refused");
    assert_eq!(found.len(), 1, "{found:#?}");
    found.remove(0)
}

pub(crate) fn write_to(folder: &Path, files: &ArchiveFiles) {
    std::fs::create_dir_all(folder).unwrap();
    for (name, bytes) in files {
        std::fs::write(folder.join(name), bytes).unwrap();
    }
}
