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
  },
});

const PATIENCE_MS = 120_000;

async function python(page) {
  const end = Date.now() + PATIENCE_MS;
  while (page && !page.isDisposed && !(page.isReady && page.session?.kernel) && Date.now() < end) {
    await new Promise(again => setTimeout(again, 100));
  }
}
