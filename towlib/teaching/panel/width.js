// Tells the kernel whether the panel is shown on a narrow screen, where pictures stand one below the other.
const NARROWEST = 600;
function render({ model, el }) {
  el.style.height = "0";
  const watch = new ResizeObserver(([entry]) => {
    const width = entry.contentRect.width;
    if (width > 0 && (width < NARROWEST) !== model.get("narrow")) {
      model.set("narrow", width < NARROWEST);
      model.save_changes();
    }
  });
  watch.observe(el);
  return () => watch.disconnect();
}
export default { render };
