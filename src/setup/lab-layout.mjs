// How JupyterLab looks when it is opened for the first time: the notebook has the whole width, its list of files is one click away.
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** The name under which JupyterLab keeps its default workspace (jupyterlab_server.workspaces_handler.slugify). */
const defaultWorkspace = "default-37a8.jupyterlab-workspace";

/** As JupyterLab writes it when a user closes the list of files. */
const layout = {
  data: {
    "layout-restorer:data": {
      main: { dock: null }, down: { size: 0, collapsed: true, widgets: [] },
      left: { collapsed: true, visible: true, widgets: ["filebrowser", "running-sessions", "@jupyterlab/toc:plugin", "extensionmanager.main-view"] },
      right: { collapsed: true, visible: true, widgets: ["jp-property-inspector"] },
      relativeSizes: [0, 1, 0], top: { simpleVisibility: true },
    },
  },
  metadata: { id: "default" },
};

/** Once only: from then on it looks as its user left it. @param {string} folder where Jupyter may write */
export function setFirstLayout(folder) {
  const workspaces = join(folder, "config", "lab", "workspaces");
  const path = join(workspaces, defaultWorkspace);
  if (existsSync(path)) return;
  mkdirSync(workspaces, { recursive: true });
  writeFileSync(path, `${JSON.stringify(layout)}\n`);
}
