"""The command line. Every verb parses, calls one service, shows; nothing heavy is imported before a verb runs.

Results go to standard output, words to standard error. Exit codes: 0 done, 2 the input is wrong, 3 no plan can
satisfy the hard rules or clearance is missing, 1 our own fault.
"""

from __future__ import annotations

import importlib
import sys
from collections.abc import Sequence
from pathlib import Path

import click

VERBS = {
    "demo": "demo",
    "check": "check",
    "catalogue": "catalogue",
    "alternatives": "catalogue",
    "levers": "levers",
    "design": "plan",
    "write": "plan",
    "keep": "kept",
    "kept": "kept",
    "fit": "fit",
    "restrict": "plan",
    "reshape": "reshape",
    "compare": "plan",
    "explain": "explain",
    "estimate": "learn",
    "climb": "climb",
    "season": "season",
    "range": "range_of_motion",
    "review": "learn",
    "adapt": "learn",
    "next": "next_set",
    "log": "keep",
    "accept": "keep",
    "decline": "keep",
    "undo": "keep",
    "history": "keep",
    "import": "move",
    "export": "move",
    "erase": "move",
    "rebuild": "move",
    "backup": "safe",
    "restore": "safe",
    "publish": "publish",
    "group": "group",
    "floor": "floor",
    "template": "check",
    "schema": "publish",
    "serve": "serve",
}
SENTENCES = {
    "demo": "The whole job on the invented roster, into a folder.",
    "check": "Read files and report all faults at once.",
    "catalogue": "List exercises, or show one with what is derived.",
    "alternatives": "What can stand in for an exercise.",
    "levers": "How hard an exercise is for a body, as levers.",
    "design": "Make a block from a trainee and a brief.",
    "write": "Read a block in the trade's shorthand, dose and check it.",
    "keep": "Keep a session or a block as a text to use again.",
    "kept": "List and search kept sessions.",
    "fit": "One master block for many trainees: who differs where, and why.",
    "restrict": 'The changed block after "my elbow is sore", with reasons.',
    "reshape": "The block after a day, minutes, a place or a machine is lost.",
    "compare": "What differs between two blocks.",
    "explain": "Why each entry is there, why so much, and what instead.",
    "estimate": "What the log says about strength, with spread.",
    "climb": "Where a trainee stands on a progression, and the way up.",
    "season": "Goals and dates over a year, and the next brief.",
    "range": "Whether range of motion changed, what it limits, what trains it.",
    "review": "Done against planned, and findings.",
    "adapt": "The next revision of a block, with the list of changes.",
    "next": "During a session: the next set, from the one just logged.",
    "log": "Keep a log in the records.",
    "accept": "Put a revision in force.",
    "decline": "Keep that a revision was declined, and why.",
    "undo": "Go back to the revision before.",
    "history": "Revisions, decisions and logs kept of a trainee.",
    "import": "Take exports, folders of records, intakes and places in.",
    "export": "Write all that is kept of a trainee as JSON and CSV.",
    "erase": "Erase all that is kept of a trainee.",
    "rebuild": "Count everything derived from the log anew.",
    "backup": "Write all records into one file with checksums.",
    "restore": "Put a backup in the place of the records.",
    "publish": "Sheets, notes, pages, calendar and exchange formats.",
    "group": "One sheet for several people: today's session of each.",
    "floor": "A timetable for several people who share equipment.",
    "template": "Print the annotated template of a file.",
    "schema": "Print the JSON Schema of a format.",
    "serve": "The web application on this machine, or the pages of a folder.",
}


WITHOUT_OWN = {"demo", "template", "schema", "serve", "backup", "restore", "erase"}  # verbs that read no exercise
MOST_FAULTS = 20  # shown of one refusal; check shows all as JSON


def own_option() -> click.Option:
    """``--own FOLDER`` of every verb that reads the catalogue."""

    def take(ctx: click.Context, param: click.Parameter, value: Path | None) -> None:
        if value is not None:
            from setwright.services.own import use_own

            use_own(value)

    text = "Your own exercises and progressions; SETWRIGHT_OWN when left out."
    kind = click.Path(path_type=Path)
    return click.Option(
        ["--own"], type=kind, metavar="FOLDER", help=text, expose_value=False, is_eager=True, callback=take
    )


class Verbs(click.Group):
    """Loads a verb's module only when it is asked for, so that help answers at once."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The verbs, in the order of the job."""
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One verb; None for an unknown one."""
        if cmd_name not in VERBS:
            return None
        module = importlib.import_module(f"setwright.cli.{VERBS[cmd_name]}")
        command: click.Command = getattr(module, f"{cmd_name}_verb")
        if cmd_name not in WITHOUT_OWN and all(one.name != "own" for one in command.params):
            command.params.append(own_option())
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of verbs from its own table, without loading them."""
        with formatter.section("Verbs"):
            formatter.write_dl(list(SENTENCES.items()))

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """A verb, or a fault that names the nearest."""
        if args and args[0] not in VERBS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0], VERBS, 5, cutoff=0.3)
            hint = f" Did you mean {near[0]}?" if get_close_matches(args[0], VERBS, 1) else ""
            shown = [*near, *(one for one in VERBS if one not in near)][:5]
            there = f"{', '.join(shown)} and {len(VERBS) - len(shown)} more"
            raise click.UsageError(f"no verb {args[0]!r}; there are: {there}.{hint}")
        return super().resolve_command(ctx, args)


@click.command(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(package_name="setwright")
def setwright() -> None:
    """Setwright plans, doses, publishes and reviews strength training for coaches, and explains every choice.

    A training plan, not medical advice.
    """


def main(arguments: Sequence[str] | None = None) -> None:
    """Runs the command line and leaves with its exit code."""
    sys.exit(run(arguments))


def run(arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and gives the exit code; our own errors become one sentence each."""
    from setwright.cli.common import say, sentence_of, show_json, wrapped
    from setwright.faults import InputFaults, NoPlan
    from setwright.services.own import forget_own

    forget_own()
    try:
        result = setwright.main(args=list(arguments) if arguments is not None else None, standalone_mode=False)
        return result if isinstance(result, int) else 0  # click gives the code of a verb that left early
    except InputFaults as error:
        for fault in error.faults[:MOST_FAULTS]:
            click.echo(sentence_of(fault), err=True)
        if len(error.faults) > MOST_FAULTS:
            say(f"... and {len(error.faults) - MOST_FAULTS} more of this kind.")
        if len(error.faults) > 1:
            say(f"{len(error.faults)} faults; nothing was written.")
        return 2
    except NoPlan as error:
        if "--json" in (sys.argv[1:] if arguments is None else arguments):
            show_json(error.as_data())
        for line in str(error).splitlines():
            click.echo(wrapped(line, "     "), err=True)
        return 3
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    except click.Abort:
        click.echo("Stopped.", err=True)
        return 1
    except click.ClickException as error:
        if isinstance(error, click.UsageError) and error.ctx is not None:
            click.echo(error.ctx.get_usage(), err=True)
        click.echo(wrapped(f"Error: {error.format_message()}", "  "), err=True)
        return 2
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        say(f"{where}the machine says: {error.strerror or error}.")
        return 2
    except LookupError as error:
        if type(error) is not LookupError:
            raise
        say(str(error))
        return 2


if __name__ == "__main__":
    main()
