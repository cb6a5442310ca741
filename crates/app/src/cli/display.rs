//! Why no window could be opened, in a sentence that a person can act on.

/// What the desktop's libraries said, without the places in their source text: those mean nothing here.
pub(super) fn no_window(says: &str) -> String {
    let instead = "without one use 'cupwright check FILE' or 'cupwright sheet FILE -o OUT.pdf'";
    if cfg!(all(unix, not(target_os = "macos"))) {
        let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
        if !set("DISPLAY") && !set("WAYLAND_DISPLAY") && !set("WAYLAND_SOCKET") {
            return format!(
                "no window: there is no display here (neither DISPLAY nor WAYLAND_DISPLAY is set); start it from a desktop, or {instead}"
            );
        }
    }
    let reason = without_places(says);
    let reason = if reason.is_empty() { String::new() } else { format!(" ({reason})") };
    format!(
        "no window: the display does not answer, or it draws no OpenGL{reason}; start it from a desktop, or {instead}"
    )
}

/// Drops every word that is a path.
fn without_places(says: &str) -> String {
    let is_place =
        |word: &str| word.contains(".rs:") || word.contains(".cargo") || word.matches('/').count() > 1;
    let words: Vec<&str> = says.split_whitespace().filter(|word| !is_place(word)).collect();
    let text = words.join(" ").replace("os error at ", "");
    text.trim_end_matches(" at").trim_matches([' ', ':', ',']).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_libraries_own_places_are_left_out() {
        let says = "winit EventLoopError: os error at /root/.cargo/registry/src/index-1/winit-0.30.13/src/platform_impl/linux/mod.rs:765: neither WAYLAND_DISPLAY nor WAYLAND_SOCKET nor DISPLAY is set.";
        assert_eq!(
            without_places(says),
            "winit EventLoopError: neither WAYLAND_DISPLAY nor WAYLAND_SOCKET nor DISPLAY is set."
        );
        assert_eq!(without_places("glutin error: bad display"), "glutin error: bad display");
        for text in [no_window(says), no_window("")] {
            assert!(
                text.starts_with("no window: ") && !text.contains(".rs") && !text.contains("registry"),
                "{text}"
            );
        }
    }
}
