#[test]
fn every_circuit() {
    let dir = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/supply/circuits");
    let mut names: Vec<_> = std::fs::read_dir(dir).unwrap().map(|e| e.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned()).collect();
    names.sort();
    for n in names {
        let c = crate::reference::read(&n);
        match recan::supply::steady(&c) { Ok(s) => println!("{n}: {:?} {:.3} rms {:.3e}", s.work, s.nodes.last().unwrap().dc.value, s.nodes.last().unwrap().ripple_rms.value), Err(e) => println!("{n}: ERR {e:?}") }
    }
}
