// Pages on which nothing is logged: what waits on this phone is shown and sent, and the next session is kept for later.

import { keepPages, startPocket } from "./pocket.js";

startPocket(document.getElementById("kept"));
keepPages([...document.querySelectorAll("a[data-keep]")].map((one) => new URL(one.href).pathname));
