// Must parse on any Node that knows modules: it is what tells an old one that it is too old.

/**
 * @param {string} version as in process.versions.node
 * @returns {string} one sentence for the user, or "" when this Node will do
 */
export function nodeTooOld(version) {
  const parts = version.split(".").map(Number);
  const major = parts[0];
  const minor = parts[1];
  const fine = (major === 20 && minor >= 19) || (major === 22 && minor >= 12) || major > 22;
  return fine
    ? ""
    : "This is Node " + version + ", and neck-survey needs Node 20.19 or newer (or 22.12 or newer): install the current long-term version from nodejs.org, open a new terminal and start again.";
}
