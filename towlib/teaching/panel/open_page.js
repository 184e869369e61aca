// A link that opens a page handed over as text, in JupyterLab and on the reading page alike.
function render({ model, el }) {
  const link = document.createElement("a");
  link.className = "towlib-open";
  link.target = "_blank";
  link.rel = "noopener";
  let address = "";
  const forget = () => address && URL.revokeObjectURL(address);
  const show = () => {
    forget();
    const page = model.get("page");
    address = page && URL.createObjectURL(new Blob([page], { type: "text/html;charset=utf-8" }));
    link.hidden = !page;
    link.textContent = model.get("label");
    page ? (link.href = address) : link.removeAttribute("href");
  };
  model.on("change:page change:label", show);
  show();
  el.append(link);
  return () => {
    model.off("change:page change:label", show);
    forget();
  };
}
export default { render };
