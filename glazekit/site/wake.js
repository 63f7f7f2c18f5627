// A page that is run before its Python is there would run nothing and say nothing. Here the run waits for Python.
let course;
Object.defineProperty(window, "jupyterapp", {
  get: () => course,
  set(app) {
    course = app;
    const execute = app.commands.execute.bind(app.commands);
    app.commands.execute = async (command, ...more) => {
      if (command === "notebook:run-all-cells") await python(app.shell.currentWidget?.sessionContext);
      return execute(command, ...more);
    };
    const contents = app.serviceManager.contents, save = contents.save.bind(contents);
    contents.save = (path, page) => save(path, page?.type === "notebook" ? { ...page, content: asleep(page.content) } : page);
  },
});

// A saved panel is only a name, and on another day an error in its place: pages are kept without their panels.
const PANEL = "application/vnd.jupyter.widget-view+json";

function asleep(page) {
  const without = output => {
    const { [PANEL]: panel, ...left } = output.data || {};
    if (!panel) return [output];
    return Object.keys(left).some(kind => kind !== "text/plain") ? [{ ...output, data: left }] : [];
  };
  const calm = cell => {
    if (!(cell.outputs || []).some(output => PANEL in (output.data || {}))) return cell;
    return { ...cell, outputs: cell.outputs.flatMap(without), execution_count: null };
  };
  return { ...page, cells: page.cells.map(calm) };
}

const PATIENCE_MS = 120_000;

async function python(page) {
  const end = Date.now() + PATIENCE_MS;
  while (page && !page.isDisposed && !(page.isReady && page.session?.kernel) && Date.now() < end) {
    await new Promise(again => setTimeout(again, 100));
  }
}
