//! The page that is looked at without the program, in a real browser at the width of a desk and of a phone.

use crate::program::{err, run};
use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

/// A browser of the distribution that has a mode without a window.
fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let found = |name: &str| std::env::split_paths(&path).map(|p| p.join(name)).find(|p| p.is_file());
    ["chromium", "chromium-browser"].into_iter().find_map(found)
}

/// What the browser made of the page, after `then` was run in it, in a window so wide.
fn opened(browser: &Path, folder: &Path, page: &str, width: u32, then: &str) -> String {
    let file = folder.join(format!("at-{width}.html"));
    // No window is narrower than 500 here: the page itself is made as narrow as a phone, the window gives its rules.
    let narrow = format!("document.documentElement.style.width = '{width}px';");
    let with = page.replacen("</body>", &format!("<script>{{{narrow}{then}}}</script></body>"), 1);
    fs::write(&file, with).unwrap();
    let mut child = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--dump-dom"])
        .arg("--virtual-time-budget=2000")
        .arg(format!("--user-data-dir={}", folder.join("profile").display()))
        .arg(format!("--window-size={width},900"))
        .arg(format!("file://{}", file.display()))
        .stdout(fs::File::create(folder.join("dom")).unwrap())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > Duration::from_secs(120) {
            child.kill().unwrap();
            panic!("the browser does not end");
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    fs::read_to_string(folder.join("dom")).unwrap()
}

/// The value of an attribute that the test put on the root.
fn told<'a>(dom: &'a str, name: &str) -> &'a str {
    let from = dom
        .find(&format!("data-{name}=\""))
        .unwrap_or_else(|| panic!("no {name}: {}", &dom[..300.min(dom.len())]));
    let rest = &dom[from + name.len() + 7..];
    &rest[..rest.find('"').unwrap()]
}

const ASK: &str = "
const root = document.documentElement.dataset;
const shown = Array.from(document.querySelectorAll('.plan div')).filter(d => d.offsetWidth > 0);
// What may be pushed sideways by itself: tables and charts.
const kept = Array.from(document.body.querySelectorAll('*')).filter(e => !e.closest('.scroll, .drawing, svg, caption'));
root.wide = String(Math.ceil(Math.max(...kept.map(e => e.getBoundingClientRect().right))));
root.plans = shown.map(d => d.className).join(' ');
root.copies = String(document.querySelectorAll('.tools button').length);
const choice = document.getElementById('motion');
const last = choice.options.length - 1;
choice.value = String(last);
choice.dispatchEvent(new Event('change'));
const cup = shown[0].querySelector('.cup');
const row = document.querySelector('#factors tr[data-cup=\"' + cup.dataset.cup + '\"]');
cup.dispatchEvent(new Event('pointerenter'));
root.card = document.getElementById('card').textContent;
// On a lip that is drawn too small for lettering the card says the factor.
const factor = row.cells[last + 1].textContent;
const lettered = cup.querySelector('.factor');
root.same = String(lettered ? lettered.textContent === factor : root.card.includes(factor));
const head = document.querySelectorAll('#holes thead th')[1];
head.querySelector('button').click();
const xs = Array.from(document.querySelectorAll('#holes tbody tr')).map(r => parseFloat(r.cells[1].textContent));
root.sorted = String(xs.every((x, i) => i === 0 || xs[i - 1] <= x));
root.links = String(document.querySelectorAll('[src], link, iframe, img').length);
";

#[test]
fn the_page_opens_in_a_browser_at_the_width_of_a_desk_and_of_a_phone() {
    let Some(browser) = browser() else {
        eprintln!("left out: no chromium on this machine to open the page in");
        return;
    };
    let folder = tempfile::tempdir().unwrap();
    let demos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    for demo in ["tray-blank.ron", "door-sheet.ron"] {
        let out = folder.path().join("sheet.html");
        let ended =
            run(&["sheet", demos.join(demo).to_str().unwrap(), "-o", out.to_str().unwrap(), "--force"]);
        assert_eq!(ended.status.code(), Some(0), "{}", err(&ended));
        let page = fs::read_to_string(&out).unwrap();
        for (width, plan) in [(1280, "wide"), (390, "narrow")] {
            let dom = opened(&browser, folder.path(), &page, width, ASK);
            assert_eq!(told(&dom, "plans"), plan, "{demo} at {width}");
            let wide: u32 = told(&dom, "wide").parse().unwrap();
            assert!(wide <= width, "{demo} at {width}: {wide} wide, so it must be pushed sideways");
            assert!(told(&dom, "copies").parse::<u32>().unwrap() >= 4, "{demo}");
            assert_eq!((told(&dom, "same"), told(&dom, "sorted")), ("true", "true"), "{demo} at {width}");
            assert_eq!(told(&dom, "links"), "0");
            let card = told(&dom, "card");
            assert!(card.contains("model") && card.contains("of "), "{card}");
        }
    }
}
