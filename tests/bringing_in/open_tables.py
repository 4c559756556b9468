"""A server on this machine that speaks the published schema of FoodData Central, or misbehaves as a test asks it to.

Shapes follow the OpenAPI specification of the FoodData Central API, version 1.0.0 (``FoundationFoodItem``, ``SRLegacyFoodItem``,
``SurveyFoodItem``, ``AbridgedFoodItem``, ``SearchResult``), and where replies differ from it, the replies.
"""

import json
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlsplit

KEY = "kept-secret-0123456789-abcdefghijklmnop"


@dataclass
class Asked:
    """One question as it came in."""

    path: str
    query: dict[str, list[str]]
    headers: dict[str, str]


@dataclass
class Answer:
    """What to send: a body that is bytes or JSON, or a function that writes to the handler itself."""

    body: Any = b""
    status: int = 200
    headers: dict[str, str] = field(default_factory=dict)
    kind: str = "application/json;charset=UTF-8"
    act: Callable[[BaseHTTPRequestHandler], None] | None = None


class Tables:
    """The server: ``answers`` are sent one by one, the last of them again and again."""

    def __init__(self) -> None:
        self.answers: list[Answer] = []
        self.asked: list[Asked] = []
        self.closing = threading.Event()
        tables = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                parts = urlsplit(self.path)
                tables.asked.append(Asked(parts.path, parse_qs(parts.query), dict(self.headers)))
                answer = tables.answers.pop(0) if len(tables.answers) > 1 else tables.answers[0]
                try:
                    tables.send(self, answer)
                except OSError:
                    self.close_connection = True  # the client gave up, as it should

            def log_message(self, *_: Any) -> None:
                return

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        self.thread = threading.Thread(target=self.server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)

    def send(self, handler: BaseHTTPRequestHandler, answer: Answer) -> None:
        if answer.act is not None:
            answer.act(handler)
            handler.close_connection = True
            return
        body = answer.body if isinstance(answer.body, bytes) else json.dumps(answer.body).encode()
        handler.send_response(answer.status)
        handler.send_header("Content-Type", answer.kind)
        for name, value in answer.headers.items():
            handler.send_header(name, value)
        handler.send_header("Content-Length", str(len(body)))
        handler.end_headers()
        handler.wfile.write(body)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.server.server_address[1]}/fdc/v1"

    def will(self, *answers: Any) -> "Tables":
        """Set what is answered from now on: answers, or bodies of good ones."""
        self.answers = [one if isinstance(one, Answer) else Answer(one) for one in answers]
        return self


@contextmanager
def serving() -> Iterator[Tables]:
    """Run the server for one test."""
    tables = Tables()
    tables.thread.start()
    try:
        yield tables
    finally:
        tables.closing.set()
        tables.server.shutdown()
        tables.server.server_close()
        tables.thread.join(2.0)


def nested(fdc_nutrient: int, number: str, name: str, unit: str, amount: float | None) -> dict[str, Any]:
    """Return a nutrient as ``/food/{fdcId}`` gives it."""
    figure = {} if amount is None else {"amount": amount}
    return {
        "type": "FoodNutrient",
        "id": 1_000_000 + fdc_nutrient,
        "nutrient": {"id": fdc_nutrient, "number": number, "name": name, "rank": 600, "unitName": unit},
        "dataPoints": 3,
        **figure,
    }


def portion(
    weight_g: float, modifier: str = "", unit: str = "undetermined", amount: float | None = 1.0
) -> dict[str, Any]:
    """Return a household measure as SR Legacy has it (``modifier``) or a Foundation food (``unit``)."""
    return {
        "id": 1,
        "amount": amount,
        "gramWeight": weight_g,
        "modifier": modifier,
        "sequenceNumber": 1,
        "measureUnit": {"id": 9999, "name": unit, "abbreviation": unit},
    }


# National Nutrient Database for Standard Reference, Release 28, row 01077 (milk, whole), as its ABBREV file prints it; trans fat, caffeine and
# alcohol are not in that file and are ours.
MILK_NUTRIENTS = [
    nested(1051, "255", "Water", "g", 88.13),
    nested(1008, "208", "Energy", "kcal", 61),
    nested(1003, "203", "Protein", "g", 3.15),
    nested(1004, "204", "Total lipid (fat)", "g", 3.25),
    nested(1007, "207", "Ash", "g", 0.67),
    nested(1005, "205", "Carbohydrate, by difference", "g", 4.8),
    nested(1079, "291", "Fiber, total dietary", "g", 0.0),
    nested(2000, "269", "Sugars, total including NLEA", "g", 5.05),
    nested(1087, "301", "Calcium, Ca", "mg", 113),
    nested(1089, "303", "Iron, Fe", "mg", 0.03),
    nested(1092, "306", "Potassium, K", "mg", 132),
    nested(1093, "307", "Sodium, Na", "mg", 43),
    nested(1114, "328", "Vitamin D (D2 + D3)", "µg", 1.3),
    nested(1110, "324", "Vitamin D (D2 + D3), International Units", "IU", 51),
    nested(1258, "606", "Fatty acids, total saturated", "g", 1.865),
    nested(1292, "645", "Fatty acids, total monounsaturated", "g", 0.812),
    nested(1293, "646", "Fatty acids, total polyunsaturated", "g", 0.195),
    nested(1253, "601", "Cholesterol", "mg", 10),
    nested(1257, "605", "Fatty acids, total trans", "g", 0.1),
    nested(1057, "262", "Caffeine", "mg", 0),
    nested(1018, "221", "Alcohol, ethyl", "g", 0),
    nested(2045, "951", "Proximates", "g", None),
]


def milk(**changes: Any) -> dict[str, Any]:
    """Return whole milk as an SR Legacy food; keys given take the place of its own."""
    return {
        "fdcId": 171265,
        "description": "Milk, whole, 3.25% milkfat, with added vitamin D",
        "dataType": "SR Legacy",
        "foodClass": "FinalFood",
        "publicationDate": "4/1/2019",
        "ndbNumber": 1077,
        "foodCategory": {"id": 1, "code": "0100", "description": "Dairy and Egg Products"},
        "foodNutrients": MILK_NUTRIENTS,
        "nutrientConversionFactors": [
            {"type": ".CalorieConversionFactor", "proteinValue": 4.27, "fatValue": 8.79, "carbohydrateValue": 3.87},
            {"type": ".ProteinConversionFactor", "value": 6.38},
        ],
        "foodPortions": [portion(244, "cup"), portion(30.5, "fl oz")],
        "inputFoods": [],
        **changes,
    }


def porridge(**changes: Any) -> dict[str, Any]:
    """Return a food of the survey: its data type is spelled as the specification spells it there, figures are ours."""
    return {
        "fdcId": 2708502,
        "datatype": "Survey (FNDDS)",
        "description": "Oatmeal, made with milk",
        "foodCode": "56203040",
        "publicationDate": "10/31/2024",
        "wweiaFoodCategory": {"wweiaFoodCategoryCode": 4802, "wweiaFoodCategoryDescription": "Oatmeal"},
        "foodNutrients": [
            nested(1003, "203", "Protein", "g", 4.5),
            nested(1004, "204", "Total lipid (fat)", "g", 3.9),
            nested(1005, "205", "Carbohydrate, by difference", "g", 13.5),
            nested(1079, "291", "Fiber, total dietary", "g", 1.5),
        ],
        "foodPortions": [
            {"id": 1, "gramWeight": 240, "modifier": "90000", "portionDescription": "Quantity not specified"},
            {"id": 2, "gramWeight": 236, "modifier": "10205", "portionDescription": "1 cup"},
        ],
        "inputFoods": [
            {"id": 1, "ingredientDescription": "Oats, raw", "ingredientWeight": 40},
            {"id": 2, "ingredientDescription": "Milk, whole", "ingredientWeight": 200},
        ],
        **changes,
    }


def found(*foods: dict[str, Any], total: int | None = None) -> dict[str, Any]:
    """Return the reply to a search."""
    return {
        "totalHits": len(foods) if total is None else total,
        "currentPage": 1,
        "totalPages": 1,
        "foodSearchCriteria": {"query": "whole milk", "pageNumber": 1},
        "foods": list(foods),
    }


def hit(fdc_id: int, description: str, data_type: str, **more: Any) -> dict[str, Any]:
    """Return one food of a search, its nutrients in the shape of a search."""
    return {
        "fdcId": fdc_id,
        "description": description,
        "dataType": data_type,
        "publishedDate": "2019-04-01",
        "foodCategory": "Dairy and Egg Products",
        "score": 700.1,
        "foodNutrients": [
            {"nutrientId": 1003, "nutrientName": "Protein", "nutrientNumber": "203", "unitName": "G", "value": 3.15}
        ],
        **more,
    }
