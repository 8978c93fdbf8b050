import { spawn } from "node:child_process";

/**
 * Opens an address in the user's browser, if there is one; the address is printed anyway, so failing is no error.
 * @param {string} address
 */
export function openInBrowser(address) {
  const [command, args] =
    process.platform === "win32"
      ? ["rundll32", ["url.dll,FileProtocolHandler", address]]
      : process.platform === "darwin"
        ? ["open", [address]]
        : ["xdg-open", [address]];
  const child = spawn(command, args, { stdio: "ignore", detached: true, windowsHide: true });
  child.on("error", () => undefined);
  child.unref();
}
