"""For which services and zones a row of a tariff holds: those that it names, or all."""


class OfServices:
    """A row that holds for some services; for all where it names none."""

    services: tuple[str, ...] | None

    def holds_for(self, service: str) -> bool:
        """Whether it holds for a service."""
        return service in (self.services or (service,))


class OfZones(OfServices):
    """A row that holds in some zones of some services; in all where it names none."""

    zones: tuple[str, ...] | None

    def holds_in(self, service: str, zone: str | None) -> bool:
        """Whether it holds for a service in a zone; None stands for all zones alike."""
        return self.holds_for(service) and zone in (self.zones or (zone,))
